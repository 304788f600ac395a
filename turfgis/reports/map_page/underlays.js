// Images under the shapes. They are inside this file; nothing is fetched.
"use strict";

const UNDERLAYS = (() => {
  // How much of a surface's colour stays over a picture, and over colours that mean something; map.css says the same.
  const OVER_PICTURE = 0.28;
  const OVER_COLOURS = 0.12;
  const EDGE = "#fff";
  const PANE = "underlays";

  // Leaflet's layer of all images of one underlay, in a pane of its own below the shapes.
  function layerOf(map, one, number) {
    if (!map.getPane(PANE)) map.createPane(PANE).style.zIndex = "250";
    const given = { pane: PANE, interactive: false, zIndex: number + 1 };
    return L.layerGroup(one.images.map(({ src, bounds }) => L.imageOverlay(src, bounds, given)));
  }

  // Colours and what they mean.
  function legend(one) {
    const list = document.createElement("span");
    list.className = "switch-legend";
    for (const [colour, text] of one.legend) {
      const entry = document.createElement("span");
      const svg = PAPER.draw("svg", { viewBox: "0 0 16 12", "aria-hidden": "true" });
      PAPER.draw("rect", { x: 0.5, y: 0.5, width: 15, height: 11, fill: colour, stroke: "#2a2f2c" }, svg);
      entry.append(svg, text);
      list.append(entry);
    }
    return list;
  }

  // An image on the printed sheet: Web Mercator like the sheet, so it only needs stretching.
  function drawImage({ src, bounds }, project, { low, high, scale, left, top }, svg) {
    const [southWest, northEast] = bounds.map(project);
    const place = {
      x: left + (southWest.x - low.x) * scale,
      y: top + (high.y - northEast.y) * scale,
      width: (northEast.x - southWest.x) * scale,
      height: (northEast.y - southWest.y) * scale,
    };
    PAPER.draw("image", { ...place, href: src, preserveAspectRatio: "none" }, svg);
  }

  function hasColours(shown) {
    return shown.some((one) => one.legend.length > 0);
  }
  function leaves(shown) {
    return hasColours(shown) ? OVER_COLOURS : OVER_PICTURE;
  }

  return { EDGE, hasColours, leaves, layerOf, legend, drawImage };
})();
