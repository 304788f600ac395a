// Somebody else changed the drawing meanwhile: who, what, and by how much; theirs stays or mine goes on top.
import { on, tell } from "./state.js";
import { get } from "./talk.js";
import { made, say } from "./words.js";
import { change } from "./strokes.js";
import { load } from "./load.js";

const dialog = document.getElementById("clash");
let held = null;

on("clash", ({ address, told, clash }) => {
  held = { address, told, clash };
  document.getElementById("clash-list").replaceChildren(...clash.changes.map((text) => made("li", text)));
  document.getElementById("clash-mine").disabled = !clash.version;
  dialog.showModal();
});

dialog.addEventListener("close", async () => {
  if (!held) return;
  const { address, told, clash } = held;
  held = null;
  await load(await get("/api/drawing"));
  if (dialog.returnValue === "mine" && clash.version) {
    await change(address, { ...told, version: clash.version });
  } else tell("refused", say("Theirs was kept; yours was not saved."));
});
