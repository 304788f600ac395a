// What is on the page now, and who wants to know when it changes.
const news = new EventTarget();

export const state = {
  areas: new Map(), // id -> area as the desk tells it, with corners as [longitude, latitude]
  order: [],        // surfaces, the one on top first
  chosen: [],       // ids
  corner: null,     // [part, ring, number] of the chosen area
  tool: "choose",
  draft: [],        // places of an outline or a line that is being drawn
  version: {},      // of the saved layers, as this page knows them
  drawable: true,   // whether any layer takes a new area
  files: {},        // those of the course without versions, and when each was written
  busy: false,
};

export function on(name, heard) {
  news.addEventListener(name, (event) => heard(event.detail));
}

export function tell(name, detail) {
  news.dispatchEvent(new CustomEvent(name, { detail }));
}

export function area() {
  return state.chosen.length === 1 ? state.areas.get(state.chosen[0]) : undefined;
}

export function choose(ids, corner = null) {
  state.chosen = ids.filter((id) => state.areas.has(id));
  state.corner = corner;
  tell("chosen");
}
