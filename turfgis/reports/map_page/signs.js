// The small signs of the legend, drawn as the map draws what they stand for.
"use strict";

const SIGNS = (() => {
  const OTHERS = {
    number: { tag: "circle", cx: 15, cy: 10, r: 8, fill: "#fff", "stroke-width": 1.5 },
    play: { tag: "path", d: "M1 10H29", "stroke-dasharray": "1 5", "stroke-linecap": "round", "stroke-width": 2 },
    line: { tag: "path", d: "M1 10H29", "stroke-dasharray": "6 3", "stroke-width": 1.6 },
    area: { tag: "rect", x: 1, y: 1, width: 28, height: 18, fill: "#2a2f2c15", "stroke-width": 1.6 },
    point: { tag: "circle", cx: 15, cy: 10, r: 3.5, fill: "#fff", "stroke-width": 1 },
    head: { tag: "path", d: "M15 10m-8 0a8 8 0 1 0 16 0a8 8 0 1 0-16 0M15 10h.01", "stroke-linecap": "round", "stroke-width": 2 },
    photo: { tag: "path", d: "M2 2H28V18H2ZM2 15L10 8L16 13L21 9L28 15", "stroke-linejoin": "round", "stroke-width": 1.4 },
    none: { tag: "path", d: "" },
  };

  const frame = () => PAPER.draw("svg", { viewBox: "0 0 30 20", class: "swatch", "aria-hidden": "true" });

  function surface(one) {
    const svg = frame();
    PAPER.draw("rect", { width: 30, height: 20, fill: one.tint }, svg);
    PAPER.drawMarks(one, [[0, 0, 30, 20]], svg);
    const edge = { x: 0.75, y: 0.75, width: 28.5, height: 18.5, fill: "none", stroke: one.ink, "stroke-width": 1.5 };
    PAPER.draw("rect", edge, svg);
    return svg;
  }

  function other(kind, ink) {
    const { tag, ...drawn } = OTHERS[kind] || OTHERS.none;
    const strong = kind === "area" ? { fill: ink, "fill-opacity": 0.55 } : { "stroke-width": 4, "stroke-dasharray": "none" };
    const given = ink ? { ...drawn, ...strong, stroke: ink } : drawn;
    const svg = frame();
    PAPER.draw(tag, { stroke: "#2a2f2c", fill: "none", ...given }, svg);
    if (kind === "number") {
      PAPER.draw("text", { x: 15, y: 14, "text-anchor": "middle", class: "sign-number" }, svg).textContent = "7";
    }
    return svg;
  }

  return { surface, other };
})();
