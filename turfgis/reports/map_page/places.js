// Places that need watching: a sign for each kind, told apart by its shape alone, so that it holds without colours.
"use strict";

const PLACES = (() => {
  const INK = "#1b1f1d";
  const PANE = "places";
  // Outline and inner marks of each kind, drawn in a square of 20.
  const SIGNS_OF = {
    tree: ["M10 12V19M10 1a6 6 0 1 0 .01 0Z", ""],
    pest: ["M10 1L19 10L10 19L1 10Z", "M10 7v6M7 10h6"],
    disease: ["M10 1.5a8.5 8.5 0 1 0 .01 0Z", "M10 6.5a3.5 3.5 0 1 0 .01 0Z"],
    weed: ["M5 1H15L19.5 10L15 19H5L.5 10Z", "M10 16V9M10 12L6 6M10 12L14 6"],
    "wet spot": ["M10 1Q16 9 16 13A6 6 0 0 1 4 13Q4 9 10 1Z", ""],
    drain: ["M2 2H18V18H2Z", "M6 5V15M10 5V15M14 5V15"],
    "damaged turf": ["M1 5H19V15H1Z", "M7 5L10 9L8 11L12 15"],
    hazard: ["M10 1L19.5 18H.5Z", "M10 7V12M10 15v.01"],
    other: ["M10 1L19 8L15.5 18.5H4.5L1 8Z", ""],
  };

  // One sign; what goes first is dark with light marks.
  function sign(kind, first, parent) {
    const [outline, marks] = SIGNS_OF[kind] || SIGNS_OF.other;
    const back = { fill: first ? INK : "#fff", stroke: INK, "stroke-width": 1.6, "stroke-linejoin": "round" };
    PAPER.draw("path", { d: outline, ...back }, parent);
    const line = { fill: "none", stroke: first ? "#fff" : INK, "stroke-width": 1.7, "stroke-linecap": "round" };
    if (marks) PAPER.draw("path", { d: marks, ...line }, parent);
  }

  function picture(kind, first, className) {
    const svg = PAPER.draw("svg", { viewBox: "-1 -1 22 22", class: className, "aria-hidden": "true" });
    sign(kind, first, svg);
    return svg;
  }

  // Leaflet's layer of all places: their outlines in a pane of their own above the surfaces, their signs above that.
  function layerOf(map, { kinds, spots }, open, hint) {
    map.createPane(PANE).style.zIndex = "450";
    const group = L.layerGroup();
    const style = { className: "spot-shape", color: INK, weight: 2, dashArray: "4 3", fillColor: "#fff", fillOpacity: 0.35 };
    spots.forEach((spot, number) => {
      const kind = kinds[spot.kind].name;
      const icon = L.divIcon({ html: picture(kind, spot.first, "spot-sign"), className: "spot", iconSize: [24, 24] });
      spot.marker = L.marker(spot.at, { icon, keyboard: false });
      const layers = [spot.marker];
      if (spot.shape) {
        const given = { pane: PANE, style: () => style, coordsToLatLng: (at) => fromCorner(at), smoothFactor: 0.4 };
        spot.outline = L.geoJSON(spot.shape, given);
        layers.push(spot.outline);
      }
      for (const layer of layers) {
        layer.on("click", (event) => {
          L.DomEvent.stopPropagation(event);
          open(number);
        });
        // An element, since Leaflet runs a tooltip that is a string as HTML.
        if (hint) layer.bindTooltip(hint(spot, kind), { direction: "top", className: "hint" });
        group.addLayer(layer);
      }
    });
    return group;
  }

  const boundsOf = (spot) => (spot.outline ? spot.outline.getBounds() : spot.marker.getLatLng().toBounds(40));

  function mark(spot, on) {
    const element = spot.marker.getElement();
    if (element) element.classList.toggle("chosen", on);
  }

  // Kinds with their signs and how many there are.
  function legend(kinds) {
    const list = document.createElement("span");
    list.className = "switch-legend";
    for (const { name, count } of kinds) {
      const entry = document.createElement("span");
      entry.append(picture(name, false, "spot-small"), `${name} ${count}`);
      list.append(entry);
    }
    return list;
  }

  // Outlines and signs on the printed sheet; `point` gives a place on it.
  function drawOnPaper({ kinds, spots }, point, pathOf, svg) {
    for (const spot of spots.filter((one) => one.shape)) {
      const look = { d: pathOf(spot.shape, point), fill: "none", stroke: INK, "stroke-width": 1.6 };
      PAPER.draw("path", { ...look, "stroke-dasharray": "4 3" }, svg);
    }
    for (const spot of spots) {
      const [x, y] = point(L.latLng(spot.at));
      const turned = { transform: `translate(${(x - 8).toFixed(1)} ${(y - 8).toFixed(1)}) scale(.8)`, class: "spot-paper" };
      sign(kinds[spot.kind].name, spot.first, PAPER.draw("g", turned, svg));
    }
  }

  return { boundsOf, drawOnPaper, layerOf, legend, mark, picture };
})();
