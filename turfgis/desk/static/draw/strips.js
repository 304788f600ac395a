// Strips that the settings make along the edges of areas: shown, and told where they come from.
import { on } from "./state.js";
import { get } from "./talk.js";
import { showStrips } from "./map.js";
import { made } from "./words.js";

const by = (id) => document.getElementById(id);
let later = 0, asked = 0;

async function fill() {
  const number = (asked += 1), { strips, notes } = await get("/api/strips");
  if (number !== asked) return;
  showStrips(strips);
  by("strips").hidden = !strips.length;
  by("strips-list").replaceChildren(...Object.values(notes).map((text) => made("li", text)));
  by("map").dataset.strips = String(strips.length);
}

function soon(wait) {
  clearTimeout(later);
  later = setTimeout(() => fill().catch(() => {}), wait);
}

on("loaded", () => soon(0));
on("saved", () => soon(800)); // they follow the edges, once the hand rests
