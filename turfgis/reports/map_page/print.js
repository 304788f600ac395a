// The printed sheet: a drawing of its own, so that lines stay sharp and the size of the paper does not matter.
"use strict";

const PAPER = (() => {
  const SVG = "http://www.w3.org/2000/svg";
  // Size of the map on the sheet, in units of the drawing and in millimetres on A4; map.css gives it this room.
  const SHEETS = { wide: { width: 1000, height: 880, mm: 196 }, tall: { width: 1000, height: 870, mm: 190 } };
  const A3 = Math.SQRT1_2; // the same sheet on A3 is larger by the square root of two (ISO 216)

  function draw(tag, given, parent) {
    const made = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(given)) made.setAttribute(name, value);
    if (parent) parent.appendChild(made);
    return made;
  }

  // Numbers beside their greens: each takes the first free place round its green, then the green itself; where even
  // that is taken, it waits for a closer look.
  // `spot` gives the middle of a hole's green and its reach in the units of the drawing.
  function placeNumbers(holes, spot, size) {
    const placed = [];
    const spots = holes.map((hole) => ({ hole, ...spot(hole) }));
    // Those in a crowd choose first: they have the fewest places.
    for (const one of spots) {
      one.crowd = spots.filter((other) => Math.hypot(other.x - one.x, other.y - one.y) < 2.5 * size).length;
    }
    spots.sort((a, b) => b.crowd - a.crowd);
    for (const { hole, x, y, reach } of spots) {
      const wide = Math.max(size, size * (0.45 + 0.33 * hole.label.length));
      const first = Math.atan2(hole.toward[1], hole.toward[0]);
      for (let turn = 0; turn <= 8; turn += 1) {
        const way = first + (((turn + 1) >> 1) * (turn % 2 ? 1 : -1) * Math.PI) / 4;
        const off = turn < 8 ? 1 : 0;
        const at = {
          hole,
          wide,
          x: x + off * Math.cos(way) * (reach + wide * 0.62),
          y: y + off * Math.sin(way) * (reach + size * 0.62),
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

  // Outlines and lines of a shape as the data of an SVG path; a point is a line too short to have a direction.
  function pathOf(geometry, point) {
    const pair = (place) => point(fromCorner(place)).map((number) => number.toFixed(1)).join(" ");
    const line = (places) => `M${places.map(pair).join("L")}`;
    const area = (rings) => rings.map((ring) => `${line(ring)}Z`).join("");
    const { type, coordinates } = geometry;
    const ways = {
      Polygon: () => area(coordinates),
      MultiPolygon: () => coordinates.map(area).join(""),
      LineString: () => line(coordinates),
      MultiLineString: () => coordinates.map(line).join(""),
      Point: () => `${line([coordinates])}h.01`,
      MultiPoint: () => coordinates.map((place) => `${line([place])}h.01`).join(""),
    };
    return ways[type]();
  }

  // A fill as lines and dots of its own: browsers put patterns on paper as coarse pictures. Copies of the pattern's
  // tile cover the boxes; whoever calls sees to the clipping.
  function drawMarks(surface, boxes, parent) {
    const pattern = surface.pattern && document.getElementById(surface.pattern);
    if (!pattern) return;
    const side = Number(pattern.getAttribute("width"));
    const cells = new Set();
    for (const [left, top, right, bottom] of boxes) {
      for (let i = Math.floor(left / side); i * side < right; i += 1) {
        for (let j = Math.floor(top / side); j * side < bottom; j += 1) cells.add(`${i * side},${j * side}`);
      }
    }
    const marks = pattern.querySelector("g");
    for (const cell of cells) {
      const copy = marks.cloneNode(true);
      copy.setAttribute("transform", `translate(${cell})`);
      parent.appendChild(copy);
    }
  }

  function drawSurface(surface, number, features, point, svg, under) {
    const outline = features.map((feature) => pathOf(feature.geometry, point)).join("");
    const shape = { d: outline, "fill-rule": "evenodd", "clip-rule": "evenodd" };
    draw("path", { ...shape, fill: surface.tint, "fill-opacity": under.length ? UNDERLAYS.leaves(under) : 1 }, svg);
    if (under.length) {
      draw("path", { ...shape, fill: "none", stroke: UNDERLAYS.EDGE, "stroke-width": surface.edge }, svg);
      return;
    }
    const clip = draw("clipPath", { id: `paper-clip-${number}` }, svg);
    draw("path", shape, clip);
    const boxes = features.flatMap((feature) => boxesOf(feature.geometry, point));
    drawMarks(surface, boxes, draw("g", { "clip-path": `url(#paper-clip-${number})` }, svg));
    draw("path", { ...shape, fill: "none", stroke: surface.ink, "stroke-width": surface.edge }, svg);
  }

  function boxesOf(geometry, point) {
    const parts = geometry.type === "MultiPolygon" ? geometry.coordinates : [geometry.coordinates];
    return parts.map(([ring]) => {
      const at = ring.map((place) => point(fromCorner(place)));
      const xs = at.map((one) => one[0]);
      const ys = at.map((one) => one[1]);
      return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
    });
  }

  // under: underlays beneath them all; surfaces: from the bottom up, each with its features; over: what lies on them, each {features, style}; watched: places
  // that need it, or nothing; holes: as in the content, or none.
  function drawSheet({ svg, scaleText, bounds, under, surfaces, over, watched, holes, greens, units, paper }) {
    const sheet = SHEETS[paper];
    const project = (at) => L.CRS.EPSG3857.project(at);
    const low = project(bounds.getSouthWest());
    const high = project(bounds.getNorthEast());
    const room = 24;
    const scale = Math.min((sheet.width - 2 * room) / (high.x - low.x), (sheet.height - 2 * room) / (high.y - low.y));
    const left = (sheet.width - (high.x - low.x) * scale) / 2;
    const top = (sheet.height - (high.y - low.y) * scale) / 2;
    const point = (place) => {
      const at = project(place);
      return [left + (at.x - low.x) * scale, top + (high.y - at.y) * scale];
    };
    svg.replaceChildren();
    svg.setAttribute("viewBox", `0 0 ${sheet.width} ${sheet.height}`);
    const ofPlace = (at) => project(L.latLng(at));
    for (const image of under.flatMap((one) => one.images)) UNDERLAYS.drawImage(image, ofPlace, { low, high, scale, left, top }, svg);
    surfaces.forEach(({ surface, features }, number) =>
      drawSurface(surface, number, features, point, svg, under),
    );
    for (const { features, style } of over) {
      const d = features.map((feature) => pathOf(feature.geometry, point)).join("");
      draw("path", { d, "stroke-linecap": "round", ...style }, svg);
    }
    // Places stand in degrees, their outlines in steps from the corner, as all shapes do.
    if (watched) PLACES.drawOnPaper(watched, point, pathOf, svg);
    const spot = (hole) => {
      const [x, y] = point(L.latLng(hole.at));
      const green = greens(hole);
      if (!green) return { x, y, reach: 0 };
      const [x1, y1] = point(green.getSouthWest());
      const [x2, y2] = point(green.getNorthEast());
      return { x, y, reach: (Math.abs(x2 - x1) + Math.abs(y2 - y1)) / 4 };
    };
    const write = (x, y, text, look) => {
      draw("text", { x, y, "text-anchor": "middle", class: look }, svg).textContent = text;
    };
    const height = 24;
    for (const at of placeNumbers(holes, spot, height)) {
      const back = { x: at.x - at.wide / 2, y: at.y - height / 2, width: at.wide, height, rx: height / 2 };
      draw("rect", { ...back, class: "number-back" }, svg);
      write(at.x, at.y + 5, at.hole.label, "number-text");
    }
    // Metres on the ground to one unit of the drawing: Mercator stretches by the secant of the latitude.
    const metres = Math.cos((bounds.getCenter().lat * Math.PI) / 180) / scale;
    const bar = roundLength(metres * 220, units);
    const length = bar.metres / metres;
    const y = sheet.height - 12;
    draw("rect", { x: 8, y: y - 26, width: length + 24, height: 36, class: "bar-back" }, svg);
    const end = 16 + length;
    const half = 16 + length / 2;
    draw("path", { d: `M16 ${y - 6}V${y}H${end}V${y - 6}M${half} ${y - 4}V${y}`, class: "bar-line" }, svg);
    write(half, y - 10, bar.text, "bar-text");
    draw("path", { d: `M${sheet.width - 24} 8l11 32-11-7-11 7z`, class: "north-arrow" }, svg);
    write(sheet.width - 24, 58, "N", "bar-text");
    const ratio = (metres * sheet.width * 1000) / sheet.mm;
    const round = (number) => Number(number.toPrecision(2)).toLocaleString("en");
    scaleText.textContent =
      `North is up. About 1 : ${round(ratio)} on A4 and 1 : ${round(ratio * A3)} on A3 if printed at full size; ` +
      "the bar holds at any size.";
  }

  return { draw, drawMarks, drawSheet, placeNumbers };
})();
