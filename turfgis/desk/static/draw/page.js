// Begins the page for drawing.
import { state, on, tell, choose } from "./state.js";
import { get, post, send } from "./talk.js";
import { map, showLabels, offerGrounds, showGround } from "./map.js";
import { fill, told, lastPlace } from "./panel.js";
import { say } from "./words.js";
import { load } from "./load.js";
import { HINTS, use, close, takeBack, setCorner, merge, erase, propose } from "./tools.js";
import { undo, redo } from "./keys.js";
import { stroke, look } from "./strokes.js";
import * as findings from "./findings.js";
import * as handles from "./handles.js";
import "./clash.js";
import "./strips.js";
import { watch } from "./meanwhile.js";

const by = (id) => document.getElementById(id);

on("tool", () => { by("hint").textContent = say(HINTS[state.tool]); });
on("busy", () => {
  by("map").classList.toggle("busy", state.busy);
  by("map").dataset.busy = state.busy ? "yes" : "no";
});
on("chosen", () => {
  by("merge").disabled = state.chosen.length < 2;
  by("erase").disabled = !state.chosen.length;
});
on("looked-at", () => look(state.chosen));
on("saved", (answer) => may(answer));
on("loaded", (drawing) => may(drawing));
on("refused", () => handles.show());

function may({ undo: back, redo: again }) {
  by("undo").disabled = !back;
  by("redo").disabled = !again;
}

for (const button of document.querySelectorAll("button[data-tool]")) {
  button.addEventListener("click", () => use(button.dataset.tool));
}
by("merge").addEventListener("click", merge);
by("erase").addEventListener("click", erase);
by("undo").addEventListener("click", undo);
by("redo").addEventListener("click", redo);
by("close").addEventListener("click", close);
by("take-back").addEventListener("click", takeBack);
by("show-keys").addEventListener("click", () => by("keys").showModal());
by("strip-form").addEventListener("submit", (event) => { event.preventDefault(); close(); });

by("what").addEventListener("submit", (event) => {
  event.preventDefault();
  const form = by("what");
  if (state.chosen.length !== 1) return;
  stroke({ do: "called", area: state.chosen[0], surface: form.surface.value, hole: form.hole.value.trim(), name: form.name.value.trim() });
});

by("typed").addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = by("typed");
  try {
    const answer = await post("/api/place", { from: lastPlace(), east: form.east.value, north: form.north.value });
    setCorner(answer.at);
    map.panTo([answer.at[1], answer.at[0]], { animate: false });
    form.east.focus();
    form.east.select();
  } catch (error) {
    tell("refused", error.message);
  }
});

by("place").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const answer = await post("/api/place", { at: by("place").at.value });
    map.setView([answer.at[1], answer.at[0]], Math.max(map.getZoom(), 19), { animate: false });
    if (["area", "part", "cut"].includes(state.tool)) setCorner(answer.at);
    else by("map").focus(); // the next key acts on what is in its middle now
  } catch (error) {
    tell("refused", error.message);
  }
});

by("walk").addEventListener("change", async () => {
  const file = by("walk").files[0];
  by("walk").value = "";
  if (!file) return;
  try {
    const answer = await send(`/api/walked?name=${encodeURIComponent(file.name)}`, file);
    propose(answer.points, answer.text);
  } catch (error) {
    tell("refused", error.message);
  }
});

for (const button of document.querySelectorAll("[data-adopt]")) {
  button.addEventListener("click", async () => {
    try {
      await post("/api/adopt", { file: button.dataset.adopt });
      location.reload();
    } catch (error) {
      tell("refused", error.message);
    }
  });
}

// Where the map was, and what was chosen, before the page was opened anew.
function returned() {
  const kept = sessionStorage.getItem("draw-view");
  sessionStorage.removeItem("draw-view");
  if (!kept) return;
  const { centre, zoom, chosen } = JSON.parse(kept);
  map.setView(centre, zoom, { animate: false });
  choose(chosen);
}

async function begin() {
  use("choose"); // its hint takes room from the map
  const drawing = await get("/api/drawing");
  map.invalidateSize({ animate: false });
  map.fitBounds(drawing.bounds, { animate: false });
  await load(drawing);
  fill(drawing);
  showLabels(drawing.labels);
  returned();
  watch();
  by("map").dataset.ready = "yes";
  findings.fill().catch((error) => told(error.message));
  const { grounds } = await get("/api/grounds");
  offerGrounds(grounds, by("ground"));
  const kept = sessionStorage.getItem("draw-ground") ?? "photo";
  if (grounds.some((one) => one.name === kept)) {
    by("ground").value = kept;
    showGround(kept);
  }
  by("trace").disabled = !grounds.some((one) => one.name === "photo");
  by("map").dataset.grounds = "yes";
}

begin().catch((error) => told(error.message));
