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
  const places = FIND.listPlaces(content);
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
  byId("surveyed").textContent = content.surveyed ? `Areas and heights of cut. Surveyed: ${content.surveyed}` : "Areas and heights of cut";
  byId("credit").textContent = content.credits.join(" · ");
  byId("accuracy").textContent = content.accuracy;
  sentences(byId("notes"), content.notes, "li");

  // --- the map -----------------------------------------------------------------------------------------------------
  const showWhole = () => map.fitBounds(whole, { padding: [18, 18], animate: !still });
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
  map.on("click", () => closeDetail());

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
    for (const at of PAPER.placeNumbers(content.holes, spot, 24)) {
      const icon = L.divIcon({
        html: make("span", "", at.hole.label),
        className: "number",
        iconSize: [at.wide, 24],
      });
      L.marker(map.unproject([at.x, at.y], zoom), { icon, interactive: false, keyboard: false }).addTo(numbers);
    }
  }
  map.on("zoomend", drawNumbers);
  drawNumbers();

  // --- sheets on a phone, panel on a desk --------------------------------------------------------------------------
  function showSheet(name) {
    document.body.dataset.open = name;
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
    else if (document.body.dataset.open) {
      const button = document.querySelector(`[data-sheet="${document.body.dataset.open}"]`);
      showSheet("");
      button.focus();
    }
  });

  // --- one patch ---------------------------------------------------------------------------------------------------
  function markChosen(number) {
    document.querySelectorAll(".patch.chosen").forEach((path) => path.classList.remove("chosen"));
    if (number === null) return;
    shapes[number].bringToFront();
    const path = shapes[number].getElement();
    if (path) path.classList.add("chosen");
  }

  function openDetail(number, { move = true } = {}) {
    const patch = content.patches[number];
    const surface = content.surfaces[patch.surface];
    if (chosen === null) cameFrom = { element: document.activeElement, sheet: document.body.dataset.open || "" };
    chosen = number;
    byId("detail-title").textContent = patch.title;
    const kind = byId("detail-kind");
    kind.replaceChildren(swatch(surface), make("span", "", [surface.name, /^\d/.test(patch.hole || "") ? `hole ${patch.hole}` : patch.hole, patch.id].filter(Boolean).join(" · ")));
    const rows = [
      ["Net area", patch.area],
      ["Perimeter", patch.perimeter],
      ["Height of cut", patch.cut],
      ...(patch.facts || []),
      ["Surveyed", patch.surveyed || content.surveyed],
    ];
    byId("detail-facts").replaceChildren(
      ...rows.filter(([, text]) => text).flatMap(([label, text]) => [make("dt", "", label), make("dd", "", text)]),
    );
    byId("detail").hidden = false;
    showSheet("detail");
    const box = switches.get(surface.layer);
    if (box && !box.checked) box.click();
    markChosen(number);
    if (move) {
      const below = phone.matches ? byId("detail").offsetHeight : 0;
      map.fitBounds(shapes[number].getBounds(), { maxZoom: 19.5, animate: !still, paddingTopLeft: [40, 40], paddingBottomRight: [40, 40 + below] });
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

  function showFound() {
    const found = FIND.search(places, asked.value);
    const rows = found.slice(0, MOST).map((number) => {
      const patch = content.patches[number];
      const button = make("button", "place");
      button.type = "button";
      button.append(swatch(content.surfaces[patch.surface]), make("span", "place-title", patch.title), make("span", "place-area", patch.area));
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
        : "Nothing is called that. Try a hole number, a surface, or both.";
    for (const button of byId("holes").children) {
      button.setAttribute("aria-pressed", String(button.textContent === asked.value.trim()));
    }
    return found;
  }
  asked.addEventListener("input", showFound);
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
  const holes = [...new Set(content.patches.map((patch) => patch.hole).filter(Boolean))];
  holes.sort((a, b) => a.localeCompare(b, "en", { numeric: true }));
  byId("holes").append(
    ...holes.map((hole) => {
      const button = make("button", "hole", hole);
      button.type = "button";
      button.setAttribute("aria-pressed", "false");
      button.addEventListener("click", () => {
        asked.value = hole;
        showFound();
      });
      return button;
    }),
  );

  // --- legend and switches -----------------------------------------------------------------------------------------
  const switches = new Map();

  function swatch(surface) {
    const svg = PAPER.draw("svg", { viewBox: "0 0 30 20", class: "swatch", "aria-hidden": "true" });
    PAPER.draw("rect", { x: 0.75, y: 0.75, width: 28.5, height: 18.5, fill: surface.fill, stroke: surface.ink, "stroke-width": 1.5 }, svg);
    return svg;
  }

  // Leaflet puts a layer that comes back on top of the others; the pile is put right again from the bottom up.
  function restack() {
    for (const surface of [...content.surfaces].reverse()) {
      if (map.hasLayer(window[surface.layer])) window[surface.layer].bringToFront();
    }
    for (const name of [content.play, ...content.background.map((behind) => behind.layer)]) {
      if (name && map.hasLayer(window[name])) window[name].bringToFront();
    }
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
    text.append(make("span", "switch-area", `${surface.patches} ${surface.patches === 1 ? "patch" : "patches"}, ${surface.area}`));
    addSwitch(byId("legend"), surface.layer, true, [swatch(surface), text], turnLayer(surface.layer));
  }
  const more = byId("more");
  if (content.holes.length) {
    addSwitch(more, "numbers", true, [make("span", "switch-name", "Hole numbers")], (on) => (on ? map.addLayer(numbers) : map.removeLayer(numbers)));
  }
  if (content.play) addSwitch(more, content.play, true, [make("span", "switch-name", "Lines of play")], turnLayer(content.play));
  for (const behind of content.background) {
    addSwitch(more, behind.layer, map.hasLayer(window[behind.layer]), [make("span", "switch-name", behind.label)], turnLayer(behind.layer));
  }
  if (content.picture) addPicture();
  byId("more-title").hidden = !more.children.length;

  // The only thing that ever asks the network, and only while it is switched on. Without signal it stays empty.
  function addPicture() {
    const picture = window[content.picture.layer];
    const said = make("span", "switch-area", "needs signal");
    said.setAttribute("role", "status");
    const text = make("span", "switch-text");
    text.append(make("span", "switch-name", "Background picture"), said);
    picture.on("tileerror", () => (said.textContent = "no signal, or not to be had here"));
    picture.on("tileload", () => (said.textContent = "shown"));
    addSwitch(more, content.picture.layer, false, [text], (on) => {
      document.body.classList.toggle("with-picture", on);
      if (on) picture.addTo(map);
      else picture.remove();
      said.textContent = on ? "asking" : "needs signal";
      byId("credit").textContent = [...(on ? [content.picture.credit] : []), ...content.credits].join(" · ");
    });
  }

  // --- printing ----------------------------------------------------------------------------------------------------
  let printed = null; // what the next sheet shows; nothing means the whole course

  function drawPaper() {
    const shown = (name) => name && map.hasLayer(window[name]);
    const features = (name) => window[name].getLayers().map((shape) => shape.feature);
    const layers = [...content.surfaces]
      .reverse()
      .filter((surface) => shown(surface.layer))
      .map((surface) => ({
        features: features(surface.layer),
        style: { fill: surface.fill, stroke: surface.ink, "stroke-width": surface.edge },
      }));
    const line = { fill: "none", stroke: "#2a2f2c", "stroke-width": 1.5 };
    if (shown(content.play)) layers.push({ features: features(content.play), style: { ...line, "stroke-dasharray": "1 5" } });
    for (const behind of content.background.filter((one) => shown(one.layer))) {
      const style = behind.kind === "point" ? { ...line, "stroke-width": 5 } : { ...line, "stroke-dasharray": "6 3" };
      layers.push({ features: features(behind.layer), style });
    }
    PAPER.drawSheet({
      svg: byId("paper"),
      scaleText: byId("paper-scale"),
      bounds: printed || whole,
      layers,
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
