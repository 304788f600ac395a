// The same tools by keys; none of them acts while something is being typed.
import { state, choose, area, tell } from "./state.js";
import { map, place, latlng } from "./map.js";
import { beside, placeOf } from "./shapes.js";
import { change, stroke } from "./strokes.js";
import { use, clear, close, takeBack, setCorner, merge, erase, nudge } from "./tools.js";
import { editable } from "./handles.js";
import { reachM } from "./panel.js";

const TOOLS = { c: "choose", n: "area", w: "move", p: "part", o: "cut", b: "strip", f: "trace" };
const DRAWING = new Set(["area", "part", "cut", "strip"]);
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

const typing = (target) => target.closest("input:not([type=checkbox]), select, textarea, dialog[open]");
export const undo = () => change("/api/undo", {});
export const redo = () => change("/api/redo", {});

document.addEventListener("keydown", (event) => {
  if (event.defaultPrevented || typing(event.target)) return;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (event.ctrlKey || event.metaKey) {
    if (key === "z") act(event, event.shiftKey ? redo : undo);
    return;
  }
  if (event.altKey) return;
  const onButton = event.target.closest("button, a, summary, input");
  if (key in ARROWS && (state.corner || state.tool === "move") && area()) {
    const size = event.shiftKey ? 1 : 0.1, [east, north] = ARROWS[key];
    act(event, () => nudge(east * size, north * size));
  } else if (key === "?") act(event, () => document.getElementById("keys").showModal());
  else if (key === "Escape") act(event, () => (state.draft.length ? clear() : state.corner ? choose(state.chosen) : use("choose")));
  else if (key === "Backspace" && DRAWING.has(state.tool)) act(event, takeBack);
  else if (key === "Enter" && DRAWING.has(state.tool) && !onButton) act(event, close);
  else if (key === " " && !onButton) act(event, atCrosshair);
  else if (key === "Delete" || (key === "Backspace" && state.chosen.length)) act(event, erase);
  else if (key === "m") act(event, merge);
  else if (key === "." || key === ",") act(event, () => nextCorner(key === "." ? 1 : -1));
  else if (key === "i") act(event, halfway);
  else if (key in TOOLS) act(event, () => use(TOOLS[key]));
}, true);

function act(event, done) {
  event.preventDefault();
  event.stopPropagation();
  done();
}

// The middle of the map stands in for the pointer.
function atCrosshair() {
  const where = map.getCenter();
  if (DRAWING.has(state.tool) && state.tool !== "strip") setCorner(place(where));
  else map.fire("click", { latlng: where });
}

function nextCorner(step) {
  const one = area();
  if (!one || !editable(one)) return;
  state.corner = beside(one, state.corner, step);
  tell("corner");
}

// A new corner halfway to the next one.
function halfway() {
  const one = area(), corner = state.corner;
  if (!one || !corner) return;
  const [part, ring, number] = corner, own = one.parts[part][ring];
  const [here, there] = [placeOf(one, corner), own[(number + 1) % own.length]].map((where) => map.latLngToContainerPoint(latlng(where)));
  stroke({ do: "more_corner", area: one.id, corner, was: placeOf(one, corner), at: place(map.containerPointToLatLng(here.add(there).divideBy(2))), reach_m: reachM() });
}
