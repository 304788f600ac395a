// Corners of the chosen area, to be dragged; between them places for new ones.
import { state, on, tell, area } from "./state.js";
import { map, latlng, place, reshape, markAs, showHint } from "./map.js";
import { everyCorner, placeOf, sameCorner } from "./shapes.js";
import { stroke, tryOut, leave } from "./strokes.js";
import { reachM } from "./panel.js";

const L = window.L;
const MOST = 400, APART_PX = 34; // handles shown at once; from one corner to the next for a place between them
const layer = L.layerGroup().addTo(map);

function icon(kind, chosen) {
  return L.divIcon({ className: `handle ${kind}${chosen ? " chosen" : ""}`, iconSize: [30, 30] });
}

function handle(where, kind, chosen) {
  return L.marker(latlng(where), { icon: icon(kind, chosen), draggable: true, keyboard: false, autoPan: true, zIndexOffset: chosen ? 1000 : 0 }).addTo(layer);
}

export function show() {
  layer.clearLayers();
  const one = area();
  if (!one || state.tool !== "choose" || !editable(one)) return;
  const view = map.getBounds().pad(0.05);
  let shown = 0;
  for (const { corner, place: where, ring } of everyCorner(one)) {
    if (!view.contains(latlng(where)) || shown >= MOST) continue;
    shown += 1;
    const chosen = sameCorner(corner, state.corner);
    cornerHandle(one, corner, where, chosen);
    const next = ring[(corner[2] + 1) % ring.length];
    const here = map.latLngToContainerPoint(latlng(where)), there = map.latLngToContainerPoint(latlng(next));
    if (here.distanceTo(there) > APART_PX) between(one, corner, where, map.containerPointToLatLng(here.add(there).divideBy(2)));
  }
}

export const editable = (one) => Boolean(state.layers?.[one.layer]?.saved);

function cornerHandle(one, corner, where, chosen) {
  const marker = handle(where, "corner", chosen);
  marker.on("click", (event) => {
    L.DomEvent.stop(event);
    state.corner = corner;
    show();
    tell("corner");
  });
  dragged(marker, one, (parts, to) => { parts[corner[0]][corner[1]][corner[2]] = to; },
    (to) => ({ do: "corner", area: one.id, corner, was: where, to, reach_m: reachM() }), corner);
}

function between(one, corner, was, where) {
  const marker = handle(place(where), "between", false);
  const said = (at) => ({ do: "more_corner", area: one.id, corner, was, at, reach_m: reachM() });
  marker.on("click", (event) => {
    L.DomEvent.stop(event);
    stroke(said(place(marker.getLatLng())));
  });
  dragged(marker, one, (parts, to) => { parts[corner[0]][corner[1]].splice(corner[2] + 1, 0, to); }, said, null);
}

function dragged(marker, one, put, said, corner) {
  marker.on("dragstart", () => { state.corner = corner; map.dragging.disable(); });
  marker.on("drag", () => {
    const to = place(marker.getLatLng());
    const parts = structuredClone(one.parts);
    put(parts, to);
    reshape(one.id, parts);
    markAs(parts);
    showHint(nearby(one, to));
    tryOut(said(to));
  });
  marker.on("dragend", async () => {
    map.dragging.enable();
    showHint(null);
    const kept = await stroke(said(place(marker.getLatLng())));
    if (!kept) { reshape(one.id, one.parts); leave(); tell("chosen"); }
  });
}

// A corner of another area so close that the desk would draw up to it; only to be seen, the desk decides.
function nearby(own, to) {
  const reach = reachM();
  if (!reach) return null;
  let best = null, least = reach;
  for (const other of state.areas.values()) {
    if (other.id === own.id || !near(other.bounds, to)) continue;
    for (const { place: where } of everyCorner(other)) {
      const away = map.distance(latlng(where), latlng(to));
      if (away < least) { least = away; best = where; }
    }
  }
  return best;
}

function near({ west, south, east, north }, [x, y]) {
  const room = 5e-5;
  return x > west - room && x < east + room && y > south - room && y < north + room;
}

export function goToCorner() {
  const where = placeOf(area(), state.corner);
  if (where && !map.getBounds().pad(-0.1).contains(latlng(where))) map.panTo(latlng(where), { animate: false });
  show();
}

on("chosen", show);
on("tool", show);
on("corner", goToCorner);
map.on("moveend zoomend", show);
