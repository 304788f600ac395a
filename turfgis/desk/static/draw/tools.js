// The tools: what a click on the map means, and what the keys for it are.
import { state, on, tell, choose, area } from "./state.js";
import { map, at, stripAt, latlng, place, reshape, markAs, showDraft } from "./map.js";
import { say } from "./words.js";
import { stroke, tryOut, leave } from "./strokes.js";
import { editable } from "./handles.js";
import { placeOf } from "./shapes.js";
import { reachM, along, described, stripSaid, told } from "./panel.js";
import { post } from "./talk.js";

const L = window.L;
const DRAWING = new Set(["area", "part", "cut"]); // tools that set one corner after the other
const SAME_PX = 5;

export const HINTS = {
  choose: "Click an area to choose it; with Shift held, one more. Drag a corner to move it, a small dot to make a new one.",
  area: "Click corner after corner. Enter or a double click closes the outline, Backspace takes the last corner back.",
  move: "Drag the chosen area, or press the arrow keys: 0.1 m, with Shift 1 m.",
  part: "Click a line right across the chosen area, from outside to outside. Enter or a double click parts it.",
  cut: "Click the outline of what is cut out of the chosen area. Enter or a double click closes it.",
  strip: "Give the width beside the map; a strip goes right round the chosen area, or between two places clicked on its edge.",
  trace: "Click into a surface on the photo; its edge is traced, to be looked at before it is kept.",
};
const NEEDS_ONE = new Set(["move", "part", "cut", "strip"]);

export function use(tool) {
  if (["area", "trace"].includes(tool) && !state.drawable) return tell("refused", say("Nothing can be drawn or changed here yet: no layer of the course lies in a GeoPackage."));
  if (NEEDS_ONE.has(tool) && !area()) return tell("refused", say("Choose one area first."));
  if (NEEDS_ONE.has(tool) && !editable(area())) return tell("refused", say("This area lies in a file that is not written to; see below how to change that."));
  clear();
  if (tool === "area") choose([]);
  state.tool = tool;
  document.getElementById("map").dataset.tool = tool;
  tell("tool");
}

export function clear() {
  if (state.draft.length) leave();
  state.draft = [];
  drafted();
}

function drafted() {
  showDraft(state.draft, state.tool !== "part");
  tell("draft");
  const said = draftStroke();
  if (said) tryOut(said);
}

function draftStroke() {
  const points = state.draft, reach_m = reachM();
  if (state.tool === "area" && points.length > 2) return { do: "area", points, reach_m, ...described() };
  if (state.tool === "cut" && points.length > 2) return { do: "cut", area: state.chosen[0], points };
  if (state.tool === "part" && points.length > 1) return { do: "parted", area: state.chosen[0], points };
  if (state.tool === "strip" && [0, 2].includes(points.length)) return stripStroke();
  return null;
}

function stripStroke() {
  const between = state.draft.length === 2 ? { between: state.draft } : {};
  return { do: "strip", area: state.chosen[0], ...stripSaid(), ...between };
}

export function setCorner(where) {
  const last = state.draft.at(-1);
  if (last && map.latLngToContainerPoint(latlng(last)).distanceTo(map.latLngToContainerPoint(latlng(where))) < SAME_PX) return;
  state.draft.push(where);
  drafted();
}

export function takeBack() {
  state.draft.pop();
  drafted();
}

export async function close() {
  const said = state.tool === "strip" ? stripStroke() : draftStroke();
  if (!said) return tell("refused", say("More corners are needed before this can be closed."));
  if (!await stroke(said)) return undefined;
  state.draft = [];
  return use("choose");
}

// An outline that came from elsewhere, such as a walk: looked at first, then kept with Enter.
export function propose(points, words) {
  use("area");
  state.draft = points;
  drafted();
  told(words);
  const lats = points.map(([, y]) => y), lngs = points.map(([x]) => x);
  map.fitBounds([[Math.min(...lats), Math.min(...lngs)], [Math.max(...lats), Math.max(...lngs)]], { maxZoom: 21, animate: false });
}

async function traced(where) {
  told(say("The photo is being looked at …"));
  try {
    const answer = await post("/api/trace", { at: where });
    propose(answer.points, answer.text);
  } catch (error) {
    tell("refused", error.message);
  }
}

map.on("click", (event) => {
  const where = place(event.latlng);
  if (DRAWING.has(state.tool)) return setCorner(where);
  if (state.tool === "strip") { state.draft = state.draft.length > 1 ? [where] : [...state.draft, where]; return drafted(); }
  if (state.tool === "trace") return traced(where);
  if (state.tool !== "choose") return undefined;
  const found = at(where), strip = stripAt(where, found);
  if (strip) told(say("This strip is made by the settings and follows the edge by itself; it is not changed by hand."));
  else told("");
  if (!found) return choose([]);
  const several = event.originalEvent?.shiftKey || document.getElementById("several").checked;
  if (!several) return choose([found.id]);
  return choose(state.chosen.includes(found.id) ? state.chosen.filter((id) => id !== found.id) : [...state.chosen, found.id]);
});

map.on("dblclick", (event) => {
  L.DomEvent.stop(event);
  if (DRAWING.has(state.tool)) close();
});

// Dragging a whole area.
let grip = null;
map.on("mousedown touchstart", (event) => {
  if (state.tool !== "move" || !area() || !event.latlng) return;
  grip = { from: place(event.latlng), area: area() };
  map.dragging.disable();
});
map.on("mousemove touchmove", (event) => {
  if (!grip || !event.latlng) return;
  const to = place(event.latlng), [dx, dy] = [to[0] - grip.from[0], to[1] - grip.from[1]];
  grip.to = to;
  const parts = grip.area.parts.map((part) => part.map((ring) => ring.map(([x, y]) => [x + dx, y + dy])));
  reshape(grip.area.id, parts);
  markAs(parts);
  tryOut({ do: "moved", area: grip.area.id, from: grip.from, to, reach_m: reachM(), along: along() });
});
map.on("mouseup touchend", async () => {
  if (!grip) return;
  const { area: one, from, to } = grip;
  grip = null;
  map.dragging.enable();
  if (!to) return;
  const kept = await stroke({ do: "moved", area: one.id, from, to, reach_m: reachM(), along: along() });
  if (!kept) { reshape(one.id, one.parts); tell("chosen"); }
});

export async function merge() {
  if (state.chosen.length < 2) return tell("refused", say("Choose two areas or more to merge them; hold Shift for the second."));
  return stroke({ do: "merged", areas: state.chosen });
}

export async function erase() {
  if (!state.chosen.length) return tell("refused", say("Choose one area first."));
  if (state.corner) return stroke({ do: "less_corner", area: state.chosen[0], corner: state.corner, was: placeOf(area(), state.corner) });
  return stroke({ do: "gone", areas: state.chosen });
}

// Pressed arrows add up and are saved when they rest.
let steps = null;
export function nudge(east, north) {
  const one = area();
  if (!one || !editable(one)) return;
  const corner = state.tool === "choose" ? state.corner : null;
  if (!corner && state.tool !== "move") return;
  steps ??= { by_m: [0, 0], timer: 0 };
  steps.by_m = [steps.by_m[0] + east, steps.by_m[1] + north].map((one) => Math.round(one * 10) / 10);
  const said = { do: corner ? "corner" : "moved", area: one.id, by_m: steps.by_m, ...(corner ? { corner, was: placeOf(one, corner) } : { along: along() }) };
  tryOut(said);
  clearTimeout(steps.timer);
  steps.timer = setTimeout(() => { steps = null; stroke(said); }, 700);
}

on("described", () => { if (state.draft.length || state.tool === "strip") drafted(); });
on("chosen", () => { if (NEEDS_ONE.has(state.tool) && !area()) use("choose"); });
