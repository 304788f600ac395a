// A stroke is tried out while it is in hand, and saved when it is done. Every figure comes from the desk.
import { state, tell, choose } from "./state.js";
import { get, post, Latest } from "./talk.js";
import { load } from "./load.js";
import { redraw } from "./map.js";

const figures = new Latest("/api/preview", (told) => tell("figures", told), (error) => tell("refused", error.message));
const orders = new Latest("/api/preview/order", (told) => tell("orders", told), () => {});
let later = 0, soon = 0;

export function tryOut(stroke) {
  clearTimeout(soon);
  figures.ask({ stroke });
  clearTimeout(later);
  later = setTimeout(() => orders.ask({ stroke }), 300);
}

// What is chosen is looked at: its figures as they are.
export function look(ids) {
  leave();
  clearTimeout(soon);
  if (ids.length) soon = setTimeout(() => figures.ask({ look: ids }), 120); // undo may be pressed many times
}

// What was tried out is not wanted any more.
export function leave() {
  clearTimeout(later);
  clearTimeout(soon);
  figures.drop();
  orders.drop();
}

// Saves a stroke; true where it is saved.
export async function stroke(told, more = {}) {
  return change("/api/change", { stroke: told, ...more });
}

// One after the other: each says what the page had seen once those before it were saved.
let queue = Promise.resolve();
export function change(address, told) {
  const next = queue.then(() => saved(address, told));
  queue = next;
  return next;
}

async function saved(address, told) {
  leave();
  state.busy = true;
  tell("busy");
  try {
    const answer = await post(address, { version: state.version, ...told });
    if (answer.anew) await load(await get("/api/drawing"));
    else took(answer, told);
    return true;
  } catch (error) {
    if (error.status === 409 && error.told.clash) tell("clash", { address, told, clash: error.told });
    else tell("refused", error.message);
    return false;
  } finally {
    state.busy = false;
    tell("busy");
  }
}

export function took(answer, told = {}) {
  redraw(answer.areas ?? [], answer.gone ?? []);
  state.version = answer.version;
  const still = answer.in_hand ?? state.chosen;
  const corner = ["corner"].includes(told.stroke?.do) ? told.stroke.corner : null;
  tell("saved", answer);
  choose(still, corner);
  later = setTimeout(() => orders.ask({ saved: true }), 300); // once its figures are there
}
