// The map: areas on one canvas, pictures beneath, labels above.
import { state, on } from "./state.js";
import { holds, latlngs, opened } from "./shapes.js";
import { Specks } from "./specks.js";
import { made, say } from "./words.js";

const L = window.L;
const box = document.getElementById("map");
export const map = L.map(box, {
  preferCanvas: true, zoomControl: false, doubleClickZoom: false, zoomSnap: 0.5, maxZoom: 24, attributionControl: false,
  keyboardPanDelta: 60, boxZoom: false,
});
const credit = L.control.attribution({ prefix: false }).addTo(map);
L.control.zoom({ position: "bottomright", zoomInTitle: say("Nearer"), zoomOutTitle: say("Farther") }).addTo(map);
L.control.scale({ maxWidth: 160, imperial: document.documentElement.dataset.units === "us", metric: document.documentElement.dataset.units !== "us" }).addTo(map);

for (const [name, height] of [["grounds", 200], ["areas", 400], ["marks", 450]]) map.createPane(name).style.zIndex = height;
// What is told above it may take room from the map, or give it back: what is seen stays where it is.
export const fitBox = () => map.invalidateSize({ animate: false, pan: false });
new ResizeObserver(fitBox).observe(box);
const canvas = new Specks({ pane: "areas", padding: 0.4 });
const marks = L.canvas({ pane: "marks", padding: 0.4 });
const shapes = new Map(); // id -> polygon on the canvas
let strips = [];          // made by the settings: surface, corners, polygon
let looks = {}, step = 1, underlays = [], shownGround = "plain";

export const place = ({ lat, lng }) => [lng, lat];
export const latlng = ([x, y]) => L.latLng(y, x);

function lookOf(surface) {
  const look = looks[surface] ?? { tint: "#cccccc", ink: "#555555", edge: 0.6 };
  const under = shownGround !== "plain";
  return {
    color: under ? look.tint : look.ink, weight: under ? 1.6 : look.edge, fillColor: look.tint,
    fillOpacity: under ? 0.28 : 0.92, interactive: false, renderer: canvas, pane: "areas", smoothFactor: 0.6,
  };
}

export function showAll(told) {
  looks = told.looks;
  step = told.step;
  state.order = told.order;
  drawnBy = told.attribution;
  credited();
  for (const one of shapes.values()) one.remove();
  shapes.clear();
  state.areas.clear();
  for (const area of told.areas) state.areas.set(area.id, opened(area, step));
  const rank = new Map(told.order.map((surface, at) => [surface, at]));
  const sorted = [...state.areas.values()].sort((one, other) => (rank.get(other.surface) ?? 0) - (rank.get(one.surface) ?? 0));
  for (const area of sorted) draw(area);
}

function draw(area) {
  shapes.get(area.id)?.remove();
  shapes.set(area.id, L.polygon(latlngs(area.parts), lookOf(area.surface)).addTo(map));
}

// What a change made of some areas; those above are brought back above.
export function redraw(told, gone = []) {
  for (const id of gone) {
    shapes.get(id)?.remove();
    shapes.delete(id);
    state.areas.delete(id);
  }
  let lowest = -1;
  for (const one of told) {
    const area = opened(one, step);
    state.areas.set(area.id, area);
    draw(area);
    lowest = Math.max(lowest, state.order.indexOf(area.surface));
  }
  pile(lowest);
}

// Surfaces above a place in the order are laid upon those from there on, each with its strips on top of it.
function pile(below) {
  const rank = new Map(state.order.map((surface, at) => [surface, at])), layers = [];
  const lay = (surface, shape) => { const at = rank.get(surface) ?? 0; if (at < below) (layers[at] ??= []).push(shape); };
  for (const [id, shape] of shapes) lay(state.areas.get(id).surface, shape);
  for (const { surface, shape } of strips) lay(surface, shape);
  for (const layer of layers.reverse()) for (const shape of layer ?? []) shape.bringToFront();
}

// Areas that nobody drew: dashed, and not to be changed by hand.
const stripLook = (surface) => ({ ...lookOf(surface), dashArray: "4 4", weight: 1.2, fillOpacity: lookOf(surface).fillOpacity / 2 });
export function showStrips(told) {
  for (const { shape } of strips) shape.remove();
  strips = told.map((one) => opened(one, step));
  for (const one of strips) one.shape = L.polygon(latlngs(one.parts), stripLook(one.surface)).addTo(map);
  pile(state.order.length);
}

// The strip at a place, where it lies on top of the area there.
export function stripAt(where, area) {
  const above = (one) => !area || state.order.indexOf(one.surface) < state.order.indexOf(area.surface);
  return strips.find((one) => above(one) && holds(one, where));
}

// How an area would look, while it is in hand; forgotten with the next change.
export const reshape = (id, parts) => shapes.get(id)?.setLatLngs(latlngs(parts));
export const stepOf = () => step;

// The topmost area at a place.
export function at(where) {
  const found = [...state.areas.values()].filter((area) => holds(area, where));
  return found.sort((one, other) => state.order.indexOf(one.surface) - state.order.indexOf(other.surface))[0];
}

export function showLabels(labels) {
  for (const { label, at: where } of labels) {
    L.marker(where, {
      icon: L.divIcon({ className: "hole-label", html: made("span", label === "practice" ? say(label) : label), iconSize: [26, 26] }),
      interactive: false, keyboard: false,
    }).addTo(map);
  }
}

export function showGround(name) {
  shownGround = name;
  for (const one of underlays) one.remove();
  underlays = [];
  const ground = grounds.find((one) => one.name === name);
  for (const picture of ground?.images ?? []) {
    underlays.push(L.imageOverlay(picture.src, picture.bounds, { pane: "grounds", alt: "" }).addTo(map));
  }
  credited();
  for (const [id, shape] of shapes) shape.setStyle(lookOf(state.areas.get(id).surface));
  for (const { surface, shape } of strips) shape.setStyle(stripLook(surface));
}

// Whose the drawn data are, and the picture beneath them.
let drawnBy = "";
function credited() {
  const words = [drawnBy, grounds.find((one) => one.name === shownGround)?.credit].filter(Boolean).join("; ");
  credit.setPrefix(words ? made("span", words).innerHTML : false); // as text: what is no letter was escaped
}

let grounds = [];
export function offerGrounds(told, chooser) {
  grounds = told;
  for (const one of told) {
    const option = made("option", say(one.label));
    option.value = one.name;
    chooser.append(option);
  }
  chooser.addEventListener("change", () => {
    sessionStorage.setItem("draw-ground", chooser.value);
    showGround(chooser.value);
  });
}

// The outline of what is chosen.
let outlines = [];
function mark() {
  for (const one of outlines) one.remove();
  outlines = state.chosen.map((id) => state.areas.get(id)).filter(Boolean).flatMap((area) => [
    L.polygon(latlngs(area.parts), { color: "#fffdf8", weight: 5, fill: false, interactive: false, renderer: marks, pane: "marks" }).addTo(map),
    L.polygon(latlngs(area.parts), { color: "#0a47b8", weight: 2.5, fill: false, interactive: false, renderer: marks, pane: "marks" }).addTo(map),
  ]);
}
export function markAs(parts) {
  for (const one of outlines) one.setLatLngs(latlngs(parts));
}
on("chosen", mark);

// A line that is being drawn.
const draft = [
  L.polyline([], { color: "#fffdf8", weight: 5, interactive: false, renderer: marks, pane: "marks" }).addTo(map),
  L.polyline([], { color: "#8a2f12", weight: 2.5, dashArray: "6 4", interactive: false, renderer: marks, pane: "marks" }).addTo(map),
];
const draftCorners = L.layerGroup().addTo(map);
export function showDraft(places, closed) {
  const line = places.map(latlng);
  for (const one of draft) one.setLatLngs(closed && line.length > 2 ? [...line, line[0]] : line);
  draftCorners.clearLayers();
  for (const one of line) {
    L.circleMarker(one, { radius: 4, color: "#8a2f12", fillColor: "#fffdf8", fillOpacity: 1, weight: 2, interactive: false, renderer: marks, pane: "marks" }).addTo(draftCorners);
  }
}

// Where a corner would be drawn up to.
const hint = L.circleMarker([0, 0], { radius: 9, color: "#8a2f12", weight: 3, fill: false, interactive: false, renderer: marks, pane: "marks" });
export function showHint(where) {
  if (where) hint.setLatLng(latlng(where)).addTo(map);
  else hint.remove();
}

export function goTo(bounds) {
  map.fitBounds(bounds, { padding: [60, 60], maxZoom: 21, animate: false });
}
