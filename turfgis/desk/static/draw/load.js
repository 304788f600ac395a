// The whole drawing anew.
import { state, choose, tell } from "./state.js";
import { showAll } from "./map.js";

export async function load(drawing) {
  const chosen = state.chosen;
  state.layers = drawing.layers;
  state.version = drawing.version;
  state.files = drawing.files;
  showAll(drawing);
  choose(chosen);
  tell("loaded", drawing);
}
