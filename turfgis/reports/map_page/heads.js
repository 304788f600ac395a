// Heads: how far each throws and which way, and the ground that none reaches. Drawn from throw and arc, so that the
// file holds one place for each.
"use strict";

const HEADS = (() => {
  const INK = "#0b4f8a";
  const DRY = "#8c1d40";
  const PANE = "heads";
  const NEAR = 17.5; // zoom from which a head is a place of its own
  const DRY_LOOK = { fill: DRY, "fill-opacity": 0.6, stroke: DRY, "stroke-width": 1 };

  // Each head by name, with what its card says.
  function read(given) {
    if (!given) return [];
    return given.heads.map(([east, north, reach, arc, facing, id, ...said]) => ({
      at: [east, north],
      id,
      title: `Head ${id}`,
      facts: given.facts.map((label, number) => [label, given.texts[said[number]]]),
      shape: outline(east, north, reach, arc, facing, given.per_m),
    }));
  }

  // A circle or a part of one, in steps from the corner.
  function outline(east, north, reach, arc, facing, [eastward, northward]) {
    const whole = arc >= 360;
    const pieces = Math.max(6, Math.ceil(arc / 9));
    const ring = whole ? [] : [[east, north]];
    for (let piece = 0; piece <= pieces; piece += 1) {
      const way = ((whole ? 0 : facing - arc / 2) + (arc * piece) / pieces) * (Math.PI / 180);
      ring.push([east + reach * Math.sin(way) * eastward, north + reach * Math.cos(way) * northward]);
    }
    ring.push(ring[0]);
    return { type: "Polygon", coordinates: [ring.map((place) => place.map(Math.round))] };
  }

  // Leaflet's layer of all heads, in a pane of its own between the surfaces and the places to watch.
  function layerOf(map, given, heads, open, hint) {
    map.createPane(PANE).style.zIndex = "440";
    const group = L.layerGroup();
    const dots = [];
    const drawn = (shape, style) =>
      L.geoJSON(shape, {
        pane: PANE,
        interactive: false,
        style: () => style,
        coordsToLatLng: (at) => fromCorner(at),
        smoothFactor: 0.6,
      });
    if (given.missed) {
      const dry = { className: "missed", color: DRY, weight: 1, fillColor: DRY, fillOpacity: 0.6 };
      group.addLayer(drawn(given.missed, dry));
    }
    const reached = { className: "throw", color: INK, weight: 1, opacity: 0.7, fillColor: INK, fillOpacity: 0.07 };
    for (const head of heads) {
      head.outline = drawn(head.shape, reached);
      group.addLayer(head.outline);
    }
    heads.forEach((head, number) => {
      // The wide edge is not seen: it is room for a finger.
      const look = { className: "head-dot", color: INK, opacity: 0, weight: 14, fillColor: INK, fillOpacity: 1 };
      const dot = L.circleMarker(fromCorner(head.at), { pane: PANE, radius: 3, ...look });
      dots.push(dot);
      dot.on("click", (event) => {
        L.DomEvent.stopPropagation(event);
        open(number);
      });
      // An element, since Leaflet runs a tooltip that is a string as HTML.
      if (hint) dot.bindTooltip(hint(head), { direction: "top", className: "hint" });
      group.addLayer(dot);
    });
    // From afar dots would hide what they stand for.
    const size = () => {
      const near = map.getZoom() >= NEAR;
      for (const dot of dots) dot.setStyle({ radius: near ? 3 : 1, weight: near ? 14 : 4 });
    };
    map.on("zoomend", size);
    size();
    return group;
  }

  function mark(head, on) {
    head.outline.eachLayer((part) => {
      const path = part.getElement();
      if (path) path.classList.toggle("chosen", on);
    });
  }

  // What the two looks mean, with how much is missed.
  function legend(given) {
    const list = document.createElement("span");
    list.className = "switch-legend";
    const looks = [["reached by a head", { fill: INK, "fill-opacity": 0.15, stroke: INK }]];
    if (given.missed) looks.push([given.missed_text, DRY_LOOK]);
    for (const [text, look] of looks) {
      const entry = document.createElement("span");
      const svg = PAPER.draw("svg", { viewBox: "0 0 16 12", "aria-hidden": "true" });
      PAPER.draw("rect", { x: 0.5, y: 0.5, width: 15, height: 11, ...look }, svg);
      entry.append(svg, text);
      list.append(entry);
    }
    return list;
  }

  // What lies over the surfaces of a printed sheet.
  function onPaper(given, heads) {
    const features = (shapes) => shapes.map((geometry) => ({ geometry }));
    const reached = { fill: INK, "fill-opacity": 0.06, stroke: INK, "stroke-width": 0.8 };
    const dry = given.missed ? [{ features: features([given.missed]), style: { ...DRY_LOOK, "fill-rule": "evenodd" } }] : [];
    return [...dry, { features: features(heads.map((head) => head.shape)), style: reached }];
  }

  return { layerOf, legend, mark, onPaper, read };
})();
