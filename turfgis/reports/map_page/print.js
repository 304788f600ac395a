// The printed sheet: a drawing of its own, so that lines stay sharp and the size of the paper does not matter.
"use strict";

const PAPER = (() => {
  const SVG = "http://www.w3.org/2000/svg";
  // Size of the map on the sheet, in units of the drawing and in millimetres on A4; map.css gives it this room.
  const SHEETS = { wide: { width: 1000, height: 840, mm: 200 }, tall: { width: 1000, height: 920, mm: 190 } };
  const A3 = Math.SQRT1_2; // the same sheet on A3 is larger by the square root of two (ISO 216)

  function draw(tag, given, parent) {
    const made = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(given)) made.setAttribute(name, value);
    if (parent) parent.appendChild(made);
    return made;
  }

  // Numbers beside their greens: each takes the first free place round its green, and waits for a closer look if none is.
  // `spot` gives the middle of a hole's green and its reach in the units of the drawing.
  function placeNumbers(holes, spot, size) {
    const placed = [];
    for (const hole of holes) {
      const { x, y, reach } = spot(hole);
      const wide = Math.max(size, size * (0.45 + 0.33 * hole.label.length));
      const first = Math.atan2(hole.toward[1], hole.toward[0]);
      for (let turn = 0; turn < 8; turn += 1) {
        const way = first + (((turn + 1) >> 1) * (turn % 2 ? 1 : -1) * Math.PI) / 4;
        const at = {
          hole,
          wide,
          x: x + Math.cos(way) * (reach + wide * 0.62),
          y: y + Math.sin(way) * (reach + size * 0.62),
        };
        const free = placed.every(
          (other) => Math.abs(other.x - at.x) > (other.wide + wide) / 2 || Math.abs(other.y - at.y) > size,
        );
        if (free) {
          placed.push(at);
          break;
        }
      }
    }
    return placed;
  }

  // A round length that fits into the given metres, in the reader's units.
  function roundLength(metres, units) {
    const unit = units === "us" ? 0.3048 : 1;
    const most = metres / unit;
    const power = 10 ** Math.floor(Math.log10(most));
    const count = [5, 2, 1].find((step) => step * power <= most) * power;
    return { metres: count * unit, text: `${count.toLocaleString("en")} ${units === "us" ? "ft" : "m"}` };
  }

  function pathOf(geometry, point) {
    const line = (points) => points.map((at, i) => (i ? "L" : "M") + point(at[1], at[0]).map((n) => n.toFixed(1)).join(" ")).join("");
    const { type, coordinates } = geometry;
    if (type === "Polygon") return coordinates.map((ring) => line(ring) + "Z").join("");
    if (type === "MultiPolygon") return coordinates.map((rings) => rings.map((ring) => line(ring) + "Z").join("")).join("");
    if (type === "LineString") return line(coordinates);
    if (type === "MultiLineString") return coordinates.map(line).join("");
    const points = type === "Point" ? [coordinates] : coordinates;
    return points.map((at) => line([at]) + "h.01").join("");
  }

  // layers: from the bottom up, each {features, style}; holes: as in the content, or none.
  function drawSheet({ svg, scaleText, bounds, layers, holes, greens, units, paper }) {
    const sheet = SHEETS[paper];
    const project = (lat, lng) => L.CRS.EPSG3857.project(L.latLng(lat, lng));
    const low = project(bounds.getSouth(), bounds.getWest());
    const high = project(bounds.getNorth(), bounds.getEast());
    const room = 24;
    const scale = Math.min((sheet.width - 2 * room) / (high.x - low.x), (sheet.height - 2 * room) / (high.y - low.y));
    const left = (sheet.width - (high.x - low.x) * scale) / 2;
    const top = (sheet.height - (high.y - low.y) * scale) / 2;
    const point = (lat, lng) => {
      const at = project(lat, lng);
      return [left + (at.x - low.x) * scale, top + (high.y - at.y) * scale];
    };
    svg.replaceChildren();
    svg.setAttribute("viewBox", `0 0 ${sheet.width} ${sheet.height}`);
    for (const { features, style } of layers) {
      for (const feature of features) {
        draw("path", { d: pathOf(feature.geometry, point), "fill-rule": "evenodd", "stroke-linecap": "round", ...style }, svg);
      }
    }
    const spot = (hole) => {
      const [x, y] = point(hole.at[0], hole.at[1]);
      const green = greens(hole);
      if (!green) return { x, y, reach: 0 };
      const [x1, y1] = point(green.getSouth(), green.getWest());
      const [x2, y2] = point(green.getNorth(), green.getEast());
      return { x, y, reach: (Math.abs(x2 - x1) + Math.abs(y2 - y1)) / 4 };
    };
    for (const at of placeNumbers(holes, spot, 24)) {
      const height = 24;
      draw("rect", { x: at.x - at.wide / 2, y: at.y - height / 2, width: at.wide, height, rx: 12, class: "number-back" }, svg);
      draw("text", { x: at.x, y: at.y + 5.5, "text-anchor": "middle", class: "number-text" }, svg).textContent = at.hole.label;
    }
    // Metres on the ground to one unit of the drawing: Mercator stretches by the secant of the latitude.
    const metres = Math.cos((bounds.getCenter().lat * Math.PI) / 180) / scale;
    const bar = roundLength(metres * 220, units);
    const length = bar.metres / metres;
    const y = sheet.height - 12;
    draw("rect", { x: 8, y: y - 26, width: length + 24, height: 36, class: "bar-back" }, svg);
    draw("path", { d: `M16 ${y - 6}V${y}H${16 + length}V${y - 6}M${16 + length / 2} ${y - 4}V${y}`, class: "bar-line" }, svg);
    draw("text", { x: 16 + length / 2, y: y - 10, "text-anchor": "middle", class: "bar-text" }, svg).textContent = bar.text;
    draw("path", { d: `M${sheet.width - 24} 8l11 32-11-7-11 7z`, class: "north-arrow" }, svg);
    draw("text", { x: sheet.width - 24, y: 58, "text-anchor": "middle", class: "bar-text" }, svg).textContent = "N";
    const ratio = (metres * sheet.width * 1000) / sheet.mm;
    const round = (number) => Number(number.toPrecision(2)).toLocaleString("en");
    scaleText.textContent =
      `North is up. About 1 : ${round(ratio)} on A4 and 1 : ${round(ratio * A3)} on A3 if printed at full size; ` +
      "the bar holds at any size.";
  }

  return { draw, drawSheet, placeNumbers };
})();
