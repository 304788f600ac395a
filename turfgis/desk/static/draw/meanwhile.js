// Whether somebody else changed the drawing meanwhile, another window or another program: asked every few seconds, and
// not at all while nobody looks at the page. What they did is told; what is in hand stays until the new state is loaded.
import { state, on } from "./state.js";
import { get, post } from "./talk.js";
import { fitBox, map } from "./map.js";
import { made, say } from "./words.js";
import { load } from "./load.js";

const EVERY_MS = 3000, OFTEN = 2; // failures in a row before they are told: a file may be just being written
const by = (id) => document.getElementById(id);
let failed = 0, shown = "", timer = 0;

const known = () => JSON.stringify([state.version, state.files]);
const same = (one, other) => Object.keys({ ...one, ...other }).every((name) => one[name] === other[name]);

export function watch() {
  document.addEventListener("visibilitychange", () => { if (!document.hidden) look(); });
  timer = setTimeout(look, EVERY_MS);
}

async function look() {
  clearTimeout(timer);
  if (!document.hidden && !state.busy) await asked().then(() => { failed = 0; }, refused);
  if (!document.hidden) timer = setTimeout(look, EVERY_MS);
}

async function asked() {
  const before = known(), now = await get("/api/version");
  if (state.busy || known() !== before) return; // a stroke of our own came between
  if (same(now.version, state.version) && same(now.files, state.files)) return hide();
  const told = JSON.stringify(now);
  if (told === shown) return;
  const answer = await post("/api/missed", { version: state.version, files: state.files });
  if (state.busy || known() !== before) return;
  shown = told;
  show(say("This was changed elsewhere since the page last looked:"), answer.changes);
}

function refused(error) {
  failed += 1;
  if (failed < OFTEN) return;
  shown = "";
  if (error.status === 422 || error.status === 409) show(say("The files of the course cannot be read as they are now:"), [error.message]);
  else if (error.status) show(error.message, []);
  else show(say("The desk does not answer. Nothing can be saved until it is started again."), []);
}

function show(words, lines) {
  by("meanwhile-said").textContent = words;
  by("meanwhile-list").replaceChildren(...lines.map((text) => made("li", text)));
  by("meanwhile").hidden = false;
}

function hide() {
  shown = "";
  by("meanwhile").hidden = true;
}

// Areas alone come in while the page stays; other files change its lists too, so it is opened anew at the same place.
by("meanwhile-load").addEventListener("click", async () => {
  try {
    const drawing = await get("/api/drawing");
    if (!same(drawing.files, state.files)) return anew();
    await load(drawing);
    hide();
    by("map").focus();
  } catch (error) {
    failed = OFTEN;
    refused(error);
  }
});

function anew() {
  hide();
  fitBox(); // so that the middle is that of the whole map again
  const { lat, lng } = map.getCenter();
  sessionStorage.setItem("draw-view", JSON.stringify({ centre: [lat, lng], zoom: map.getZoom(), chosen: state.chosen }));
  location.reload();
}

on("loaded", hide);
on("saved", hide);
