// What there is to say about the drawing: a click goes to the place, and where there is a mend it is offered.
import { state, on, choose } from "./state.js";
import { get } from "./talk.js";
import { goTo } from "./map.js";
import { made, say } from "./words.js";
import { stroke } from "./strokes.js";

const MENDS = {
  mend: ["Take the mended shape", (one) => ({ do: "mend", area: one.area })],
  gone: ["Delete this shape", (one) => ({ do: "gone", areas: [one.area] })],
  cut: ["Cut one out of the other", (one) => ({ do: "cut", area: one.area, other: one.other })],
};
const list = document.getElementById("findings");
let asked = 0;

export async function fill() {
  const number = (asked += 1);
  const told = await get("/api/findings");
  if (number !== asked) return;
  list.replaceChildren(...told.map(entry));
  document.getElementById("findings-count").textContent = String(told.length);
}

function entry(one) {
  const item = made("li", "", one.level);
  item.append(made("p", `${say(one.level)} · ${one.where}`, "small"), text(one));
  if (one.bounds) item.append(button("Go there", () => { goTo(one.bounds); if (one.area) choose([one.area]); }));
  if (one.mend && MENDS[one.mend]) {
    const [words, said] = MENDS[one.mend];
    item.append(button(words, () => stroke(said(one))));
  }
  return item;
}

function text(one) {
  const shown = made("p", one.text);
  if (one.english) shown.lang = "en";
  return shown;
}

function button(words, done) {
  const pressed = made("button", say(words));
  pressed.type = "button";
  pressed.addEventListener("click", done);
  return pressed;
}

let later = 0;
on("saved", () => { clearTimeout(later); later = setTimeout(() => fill().catch(() => {}), 1500); });
