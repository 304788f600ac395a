// What the reader does with the map. folium has drawn the shapes already; they carry running numbers, and every word
// comes from the content below as text. Nothing here ever makes markup out of words.
"use strict";

(() => {
  const content = JSON.parse(document.getElementById("content").textContent);
  const map = window[content.map];
  const byId = (id) => document.getElementById(id);
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const phone = matchMedia("(max-width: 819px)");
  const whole = L.latLngBounds(content.bounds);
  const shapes = []; // Leaflet's layer of each patch, by its number
  const { kinds, spots } = content.places; // what needs watching; its numbers run on from those of the patches
  const spotOf = (number) => spots[number - content.patches.length];
  const heads = HEADS.read(content.heads); // numbered on from what needs watching
  const headOf = (number) => heads[number - content.patches.length - spots.length];
  const places = FIND.listPlaces(content, heads);
  const called = new Map(); // how many places go by one title
  for (const patch of content.patches) called.set(patch.title, (called.get(patch.title) || 0) + 1);
  let chosen = null; // number of the patch shown in the detail
  let cameFrom = null; // what had the focus before the detail opened

  function make(tag, className, text) {
    const made = document.createElement(tag);
    if (className) made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  }

  function sentences(holder, texts, tag) {
    holder.replaceChildren(...texts.filter(Boolean).map((text) => make(tag, "", text)));
  }

  // --- words on the page -------------------------------------------------------------------------------------------
  byId("title").textContent = content.title;
  const surveyed = content.surveyed ? `. Surveyed: ${content.surveyed}` : "";
  byId("surveyed").textContent = `Areas and heights of cut${surveyed}`;
  const crediting = new Map(); // whom to name for what is on, by its label
  function showCredits() {
    byId("credit").textContent = [...crediting.values(), ...content.credits].join(" · ");
    byId("paper-credit").textContent = [...crediting.values(), content.attribution].filter(Boolean).join(" · ");
  }
  showCredits();
  byId("accuracy").textContent = content.accuracy;
  sentences(byId("notes"), content.notes, "li");
  // On paper long notes are set smaller, so that they and the map share one sheet.
  const letters = [...content.notes, content.accuracy].join(" ").length;
  byId("about").style.setProperty("--smaller", String(Math.max(0.78, Math.min(1, Math.sqrt(1150 / letters)))));

  // --- the map -----------------------------------------------------------------------------------------------------
  let covered = 0; // how much of the map a sheet hides on a phone [px]
  // Room is left for the numbers at the edge and for the buttons: below on a phone, to the right on a desk.
  const showWhole = () =>
    map.fitBounds(whole, {
      paddingTopLeft: [26, 26],
      paddingBottomRight: phone.matches && !covered ? [26, 84] : [phone.matches ? 26 : 74, 26],
      animate: !still,
    });
  showWhole();
  map.setMinZoom(Math.floor(map.getZoom()) - 1);
  map.setMaxBounds(whole.pad(1));
  byId("closer").addEventListener("click", () => map.zoomIn());
  byId("farther").addEventListener("click", () => map.zoomOut());
  byId("whole").addEventListener("click", showWhole);
  L.control.scale({ metric: content.units !== "us", imperial: content.units === "us", maxWidth: 110 }).addTo(map);

  for (const surface of content.surfaces) {
    window[surface.layer].eachLayer((shape) => {
      shapes[shape.feature.id] = shape;
      shape.on("click", (event) => {
        L.DomEvent.stopPropagation(event);
        openDetail(shape.feature.id, { move: false });
      });
    });
    if (matchMedia("(hover: hover)").matches) {
      // Leaflet runs a tooltip that is a string as HTML; an element stays what it is.
      window[surface.layer].bindTooltip((shape) => make("span", "", content.patches[shape.feature.id].title), {
        sticky: true,
        direction: "top",
        className: "hint",
      });
    }
  }
  map.on("click", () => (chosen === null ? showSheet("") : closeDetail()));

  // --- numbers of holes --------------------------------------------------------------------------------------------
  const numbers = L.layerGroup().addTo(map);
  const greenOf = (hole) => (hole.patch === undefined ? null : shapes[hole.patch].getBounds());

  function drawNumbers() {
    const zoom = map.getZoom();
    const spot = (hole) => {
      const { x, y } = map.project(hole.at, zoom);
      const green = greenOf(hole);
      if (!green) return { x, y, reach: 0 };
      const low = map.project(green.getSouthWest(), zoom);
      const high = map.project(green.getNorthEast(), zoom);
      return { x, y, reach: (high.x - low.x + low.y - high.y) / 4 };
    };
    numbers.clearLayers();
    const size = phone.matches ? 20 : 24;
    for (const at of PAPER.placeNumbers(content.holes, spot, size)) {
      const icon = L.divIcon({
        html: make("span", "", at.hole.label),
        className: "number",
        iconSize: [at.wide, size],
      });
      L.marker(map.unproject([at.x, at.y], zoom), { icon, interactive: false, keyboard: false }).addTo(numbers);
    }
  }
  map.on("zoomend", drawNumbers);
  drawNumbers();

  // --- sheets on a phone, panel on a desk --------------------------------------------------------------------------
  // The map takes the room that a sheet leaves, so that its middle stays in view.
  function makeRoom() {
    const sheet = phone.matches && document.body.dataset.open ? byId(document.body.dataset.open) : null;
    const height = sheet ? sheet.offsetHeight : 0;
    if (height === covered) return;
    covered = height;
    byId("ground").style.setProperty("--covered", `${height}px`);
    map.invalidateSize({ animate: false });
  }
  const watch = new ResizeObserver(makeRoom);
  document.querySelectorAll(".sheet").forEach((sheet) => watch.observe(sheet));
  phone.addEventListener("change", makeRoom);

  function showSheet(name) {
    document.body.dataset.open = name;
    makeRoom();
    for (const button of document.querySelectorAll("[data-sheet]")) {
      button.setAttribute("aria-expanded", String(button.dataset.sheet === name));
    }
  }
  for (const button of document.querySelectorAll("[data-sheet]")) {
    button.addEventListener("click", () => {
      const open = document.body.dataset.open === button.dataset.sheet;
      closeDetail({ keepFocus: true });
      showSheet(open ? "" : button.dataset.sheet);
    });
  }
  byId("skip").addEventListener("click", (event) => {
    event.preventDefault();
    closeDetail({ keepFocus: true });
    showSheet("find");
    byId("find-text").focus();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    if (chosen !== null) closeDetail();
    else closeSheet();
  });
  function closeSheet() {
    const button = document.querySelector(`[data-sheet="${document.body.dataset.open}"]`);
    showSheet("");
    if (button) button.focus();
  }
  for (const button of document.querySelectorAll(".sheet .put-away")) button.addEventListener("click", closeSheet);

  // --- one patch ---------------------------------------------------------------------------------------------------
  let markedHead = null;
  function markChosen(number) {
    document.querySelectorAll(".patch.chosen").forEach((path) => path.classList.remove("chosen"));
    spots.forEach((spot) => PLACES.mark(spot, number !== null && spot === spotOf(number)));
    if (markedHead) HEADS.mark(markedHead, false);
    markedHead = number === null ? null : headOf(number);
    if (markedHead) HEADS.mark(markedHead, true);
    if (number === null || !content.patches[number]) return;
    shapes[number].bringToFront();
    liftLines();
    const path = shapes[number].getElement();
    if (path) path.classList.add("chosen");
  }

  // What the card says of a patch, of a place that needs watching, or of a head.
  function cardOf(number) {
    const spot = spotOf(number);
    if (spot) {
      const kind = kinds[spot.kind].name;
      return {
        title: spot.title,
        said: [kind, holeWords(spot.hole), spot.id],
        sign: PLACES.picture(kind, spot.first, "swatch"),
        rows: spot.facts,
        photo: spot.photo,
        care: kinds[spot.kind].care,
        bounds: PLACES.boundsOf(spot),
        layer: "places",
      };
    }
    const head = headOf(number);
    if (head) {
      return {
        title: head.title,
        said: ["head"],
        sign: SIGNS.other("head"),
        rows: head.facts,
        care: content.heads.care,
        bounds: L.latLng(fromCorner(head.at)).toBounds(80),
        layer: "heads",
      };
    }
    const patch = content.patches[number];
    const surface = content.surfaces[patch.surface];
    return {
      title: patch.title,
      said: [surface.name, holeWords(patch.hole), patch.id],
      sign: SIGNS.surface(surface),
      rows: [
        ["Net area", patch.area],
        ["Perimeter", patch.perimeter],
        ["Height of cut", patch.cut],
        ...(patch.facts || []),
        ["Surveyed", patch.surveyed || content.surveyed],
      ],
      bounds: shapes[number].getBounds(),
      layer: surface.layer,
    };
  }
  function photoOf(card) {
    const photo = make("img");
    photo.alt = `Photo: ${card.title}`;
    photo.src = card.photo; // inside this file
    return photo;
  }
  const holeWords = (hole) => (/^\d/.test(hole || "") ? `hole ${hole}` : hole);

  function openDetail(number, { move = true } = {}) {
    const card = cardOf(number);
    if (chosen === null) cameFrom = { element: document.activeElement, sheet: document.body.dataset.open || "" };
    chosen = number;
    byId("detail-title").textContent = card.title;
    byId("detail-kind").replaceChildren(card.sign, make("span", "", card.said.filter(Boolean).join(" · ")));
    byId("detail-facts").replaceChildren(
      ...card.rows.filter(([, text]) => text).flatMap(([label, text]) => [make("dt", "", label), make("dd", "", text)]),
    );
    byId("detail-care").textContent = card.care || "";
    byId("detail-care").hidden = !card.care;
    byId("detail-photo").replaceChildren(...(card.photo ? [photoOf(card)] : []));
    byId("detail").hidden = false;
    showSheet("detail");
    const box = switches.get(card.layer);
    if (box && !box.checked) box.click();
    markChosen(number);
    if (move) {
      const padding = phone.matches ? [40, 34] : [60, 60];
      map.fitBounds(card.bounds, { maxZoom: 19, animate: !still, padding });
    }
    byId("detail-title").focus({ preventScroll: true });
    document.querySelector(".panel").scrollTop = 0;
    byId("detail").scrollTop = 0;
  }

  function closeDetail({ keepFocus = false } = {}) {
    if (chosen === null) return;
    markChosen(null);
    chosen = null;
    byId("detail").hidden = true;
    showSheet("");
    if (keepFocus || !cameFrom) return;
    // Back to where the reader was; on a phone the list is put away, so to the button that opens it.
    const { element, sheet } = cameFrom;
    const visible = element && element !== document.body && element.offsetParent !== null;
    const button = document.querySelector(`[data-sheet="${sheet}"]`);
    (visible ? element : button || map.getContainer()).focus({ preventScroll: true });
  }
  byId("close").addEventListener("click", () => closeDetail());

  // --- finding -----------------------------------------------------------------------------------------------------
  const MOST = 60;
  const asked = byId("find-text");

  const holes = [...new Set(content.patches.map((patch) => patch.hole).filter(Boolean))];
  holes.sort((a, b) => a.localeCompare(b, "en", { numeric: true }));

  const advice = holes.length
    ? "Try a hole number, a surface, or both."
    : "No hole numbers are known on this map; try a surface.";

  function showFound() {
    const found = FIND.search(places, asked.value);
    const rows = found.slice(0, MOST).map((number) => {
      const spot = spotOf(number);
      const patch = content.patches[number] || spot || { ...headOf(number), id: "" };
      const button = make("button", "place");
      button.type = "button";
      const title = make("span", "place-title", patch.title);
      if (patch.id && (spot || called.get(patch.title) > 1)) title.append(make("span", "place-id", patch.id));
      const sign = spot
        ? PLACES.picture(kinds[spot.kind].name, spot.first, "swatch")
        : headOf(number)
          ? SIGNS.other("head")
          : SIGNS.surface(content.surfaces[patch.surface]);
      const kind = spot ? kinds[spot.kind].name : headOf(number) ? "head" : patch.area;
      button.append(sign, title, make("span", "place-area", kind));
      button.addEventListener("click", () => openDetail(number));
      const row = make("li");
      row.append(button);
      return row;
    });
    byId("found").replaceChildren(...rows);
    const more = found.length > MOST ? `, the first ${MOST} are listed` : "";
    byId("find-said").textContent = !asked.value.trim()
      ? ""
      : found.length
        ? `${found.length} ${found.length === 1 ? "place" : "places"}${more}`
        : `Nothing is called that. ${advice}`;
    byId("holes").hidden = byId("all-holes").hidden = false;
    (asked.value.trim() ? byId("holes") : byId("all-holes")).hidden = true;
    return found;
  }
  asked.addEventListener("input", showFound);
  byId("all-holes").addEventListener("click", () => {
    asked.value = "";
    showFound();
    (byId("holes").firstElementChild || asked).focus();
  });
  byId("find-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const found = showFound();
    if (found.length) openDetail(found[0]);
  });
  // Arrow keys walk from the field through the list.
  byId("find").addEventListener("keydown", (event) => {
    if (event.key !== "ArrowDown" && event.key !== "ArrowUp") return;
    const stops = [asked, ...byId("found").querySelectorAll("button")];
    const next = stops[stops.indexOf(document.activeElement) + (event.key === "ArrowDown" ? 1 : -1)];
    if (!stops.includes(document.activeElement) || !next) return;
    event.preventDefault();
    next.focus();
  });
  byId("holes").append(
    ...holes.map((hole) => {
      const button = make("button", "hole", hole);
      button.type = "button";
      if (hole.length > 3) button.classList.add("long");
      button.addEventListener("click", () => {
        asked.value = hole;
        showFound();
        byId("found").querySelector("button").focus({ preventScroll: true });
      });
      return button;
    }),
  );

  showFound();

  // --- legend and switches -----------------------------------------------------------------------------------------
  const switches = new Map();

  // Lines of play and what else is drawn lie over every surface.
  function liftLines() {
    for (const name of [content.play, ...content.background.map((behind) => behind.layer)]) {
      if (name && map.hasLayer(window[name])) window[name].bringToFront();
    }
  }

  // Leaflet puts a layer that comes back on top of the others; the pile is put right again from the bottom up.
  function restack() {
    for (const surface of [...content.surfaces].reverse()) {
      if (map.hasLayer(window[surface.layer])) window[surface.layer].bringToFront();
    }
    liftLines();
    markChosen(chosen);
  }

  function addSwitch(list, layerName, on, parts, turn) {
    const row = make("li");
    const label = make("label", "switch");
    const box = make("input");
    box.type = "checkbox";
    box.checked = on;
    const showOff = () => row.classList.toggle("off", !box.checked);
    box.addEventListener("change", () => {
      showOff();
      turn(box.checked);
    });
    showOff();
    label.append(box, ...parts);
    row.append(label);
    list.append(row);
    if (layerName) switches.set(layerName, box);
    return row;
  }

  function turnLayer(name) {
    return (on) => {
      if (on) map.addLayer(window[name]);
      else map.removeLayer(window[name]);
      restack();
    };
  }

  for (const surface of content.surfaces) {
    const text = make("span", "switch-text");
    text.append(make("span", "switch-name", surface.plural));
    if (surface.cut) text.append(make("span", "switch-cut", `cut ${surface.cut}`));
    const count = `${surface.patches} ${surface.patches === 1 ? "patch" : "patches"}`;
    text.append(make("span", "switch-area", `${count}, ${surface.area}`));
    addSwitch(byId("legend"), surface.layer, true, [SIGNS.surface(surface), text], turnLayer(surface.layer));
  }
  const more = byId("more");
  const named = (kind, text, ink) => [SIGNS.other(kind, ink), make("span", "switch-name", text)];
  if (content.holes.length) {
    const turn = (on) => (on ? map.addLayer(numbers) : map.removeLayer(numbers));
    addSwitch(more, "numbers", true, named("number", "Hole numbers"), turn);
  }
  if (content.play) addSwitch(more, content.play, true, named("play", "Lines of play"), turnLayer(content.play));
  for (const behind of content.background) {
    const on = map.hasLayer(window[behind.layer]);
    const parts = named(behind.kind, behind.label, behind.ink);
    if (behind.note) {
      const text = make("span", "switch-text");
      text.append(parts.pop(), make("span", "switch-area", behind.note));
      parts.push(text);
    }
    addSwitch(more, behind.layer, on, parts, turnLayer(behind.layer));
  }
  const thrown = addHeads();
  const watched = addWatched();
  content.underlays.forEach(addUnderlay);
  if (content.picture) addPicture();
  byId("more-title").hidden = !more.children.length;

  // Heads and their throw, off until somebody asks for them.
  function addHeads() {
    if (!heads.length) return null;
    const open = (number) => openDetail(content.patches.length + spots.length + number, { move: false });
    const hint = (head) => make("span", "", head.title);
    const hover = matchMedia("(hover: hover)").matches;
    const layer = HEADS.layerOf(map, content.heads, heads, open, hover ? hint : null);
    const text = make("span", "switch-text");
    text.append(
      make("span", "switch-name", "Heads and their throw"),
      HEADS.legend(content.heads),
      make("span", "switch-area", content.heads.note),
    );
    addSwitch(more, "heads", false, [SIGNS.other("head"), text], (on) => {
      if (on) layer.addTo(map);
      else layer.remove();
      markChosen(chosen);
    });
    return layer;
  }

  // What needs watching, above all surfaces.
  function addWatched() {
    if (!spots.length) return null;
    const hint = (spot, kind) => make("span", "", spot.title === kind ? kind : `${kind}: ${spot.title}`);
    const open = (number) => openDetail(content.patches.length + number, { move: false });
    const layer = PLACES.layerOf(map, content.places, open, matchMedia("(hover: hover)").matches ? hint : null);
    layer.addTo(map);
    const text = make("span", "switch-text");
    text.append(make("span", "switch-name", "Places to watch"), PLACES.legend(kinds));
    addSwitch(more, "places", true, [PLACES.picture("hazard", false, "swatch"), text], (on) => {
      if (on) layer.addTo(map);
      else layer.remove();
      markChosen(chosen);
    });
    return layer;
  }

  // Images inside this file: a photo, shaded relief, readings. Shapes over one become clear, but for their outlines.
  function addUnderlay(one, number) {
    one.layer = UNDERLAYS.layerOf(map, one, number);
    const text = make("span", "switch-text");
    text.append(make("span", "switch-name", one.label));
    if (one.note) text.append(make("span", "switch-area", one.note));
    if (one.legend.length) text.append(UNDERLAYS.legend(one));
    const turn = (on) => {
      if (on) one.layer.addTo(map);
      else one.layer.remove();
      if (on && one.credit) crediting.set(one.label, one.credit);
      else crediting.delete(one.label);
      showCredits();
      document.body.classList.toggle("with-underlay", shownUnder().length > 0);
      document.body.classList.toggle("with-readings", UNDERLAYS.hasColours(shownUnder()));
    };
    addSwitch(more, one.label, one.on, [SIGNS.other("photo"), text], turn);
    if (one.on) turn(true);
  }
  function shownUnder() {
    return content.underlays.filter((one) => one.layer && map.hasLayer(one.layer));
  }

  // The only thing that ever asks the network, and only while it is switched on. Without signal it stays empty.
  function addPicture() {
    const picture = window[content.picture.layer];
    const said = make("span", "switch-area", "needs signal");
    said.setAttribute("role", "status");
    const text = make("span", "switch-text");
    text.append(make("span", "switch-name", "Background picture"), said);
    picture.on("tileerror", () => (said.textContent = "no signal, or not to be had here"));
    picture.on("tileload", () => (said.textContent = "shown"));
    addSwitch(more, content.picture.layer, false, [SIGNS.other("none"), text], (on) => {
      document.body.classList.toggle("with-picture", on);
      if (on) picture.addTo(map);
      else picture.remove();
      said.textContent = on ? "asking" : "needs signal";
      if (on) crediting.set("", content.picture.credit);
      else crediting.delete("");
      showCredits();
    });
  }

  // --- printing ----------------------------------------------------------------------------------------------------
  let printed = null; // what the next sheet shows; nothing means the whole course

  function drawPaper() {
    const shown = (name) => name && map.hasLayer(window[name]);
    const features = (name) => window[name].getLayers().map((shape) => shape.feature);
    const surfaces = [...content.surfaces]
      .reverse()
      .filter((surface) => shown(surface.layer))
      .map((surface) => ({ surface, features: features(surface.layer) }));
    const over = [];
    const line = { fill: "none", stroke: "#2a2f2c", "stroke-width": 1.5 };
    const dotted = { ...line, "stroke-dasharray": "1 5" };
    if (shown(content.play)) over.push({ features: features(content.play), style: dotted });
    for (const behind of content.background.filter((one) => shown(one.layer))) {
      let style = behind.kind === "point" ? { ...line, "stroke-width": 5 } : { ...line, "stroke-dasharray": "6 3" };
      if (behind.ink && behind.kind === "area") style = { fill: behind.ink, "fill-opacity": 0.55, stroke: "none" };
      else if (behind.ink) style = { ...line, stroke: behind.ink, "stroke-width": 3 };
      over.push({ features: features(behind.layer), style });
    }
    if (thrown && map.hasLayer(thrown)) over.push(...HEADS.onPaper(content.heads, heads));
    PAPER.drawSheet({
      svg: byId("paper"),
      scaleText: byId("paper-scale"),
      bounds: printed || whole,
      under: shownUnder(),
      surfaces,
      over,
      watched: watched && map.hasLayer(watched) ? content.places : null,
      holes: map.hasLayer(numbers) ? content.holes : [],
      greens: greenOf,
      units: content.units,
      paper: content.paper,
    });
  }
  byId("print-whole").addEventListener("click", () => {
    printed = null;
    print();
  });
  byId("print-view").addEventListener("click", () => {
    printed = map.getBounds();
    print();
    printed = null;
  });
  addEventListener("beforeprint", drawPaper);
  // Some browsers tell only by the change of medium that a sheet is about to be laid out.
  matchMedia("print").addEventListener("change", (event) => event.matches && drawPaper());
})();
