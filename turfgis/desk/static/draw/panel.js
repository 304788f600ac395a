// Beside the map: what is in hand, what it is, figures, and places typed in.
import { state, on, tell, choose, area } from "./state.js";
import { made, say } from "./words.js";
import { map, place } from "./map.js";

const by = (id) => document.getElementById(id);
const form = by("what"), strip = by("strip-form"), typed = by("typed");

export const reachM = () => Number(by("reach").value);
export const along = () => by("along").checked;
export const described = () => ({ surface: form.surface.value, hole: form.hole.value.trim(), name: form.name.value.trim() });
export const stripSaid = () => ({ width: strip.width.value.trim(), side: strip.side.value, surface: strip.surface.value });
export function told(words) {
  by("told").textContent = words;
  by("told").hidden = !words;
}

export function fill(drawing) {
  for (const list of [form.surface, strip.surface]) {
    for (const surface of drawing.drawable) list.append(option(surface, say(surface)));
  }
  state.drawable = drawing.drawable.length > 0;
  for (const hole of drawing.holes) by("holes").append(option(hole, hole));
  fillPick();
}

function option(value, text) {
  const one = made("option", text);
  one.value = value;
  return one;
}

export function nameOf(one) {
  const hole = one.hole === "practice" ? say("practice") : one.hole ? say("hole {hole}", { hole: one.hole }) : "";
  return [say(one.surface), hole, one.name].filter(Boolean).join(", ");
}

const inOrder = new Intl.Collator(document.documentElement.lang || undefined, { numeric: true });

// Every area in a list, for those who do not point.
export function fillPick() {
  const list = by("pick"), chosen = state.chosen[0] ?? "";
  const sorted = [...state.areas.values()].map((one) => [nameOf(one), one.id]);
  sorted.sort(([one], [other]) => inOrder.compare(one, other));
  list.replaceChildren(option("", say("choose from the list")), ...sorted.map(([text, id]) => option(id, text)));
  list.value = chosen;
}

by("pick").addEventListener("change", () => {
  choose(by("pick").value ? [by("pick").value] : []);
  const one = area();
  if (one) map.fitBounds([[one.bounds.south, one.bounds.west], [one.bounds.north, one.bounds.east]], { maxZoom: 20, padding: [60, 60], animate: false });
});

function row({ label, now, change }) {
  const line = made("tr");
  const head = made("th", label);
  head.scope = "row";
  line.append(head, made("td", now ?? "", "figure"), made("td", change ?? "", "figure change"));
  return line;
}

export function showFigures(answer) {
  if (!("areas" in answer)) showOrders({});
  by("figures").replaceChildren(...answer.rows.map(row));
  by("others").replaceChildren(...answer.others.map(({ label, change }) => made("li", `${label} ${change}`)));
  if (answer.findings?.length) told(answer.findings.join(" "));
  const net = answer.rows[0];
  by("heard").textContent = [net.label, net.now, net.change].filter(Boolean).join(" ");
}

// The next order that a stroke touches, before and after, and what the year needs of each material.
function showOrders({ next = null, orders = [] }) {
  by("orders").replaceChildren(...orders.map((line) => made("li", line)));
  by("next-order").replaceChildren();
  if (!next) return;
  const head = made("p"), link = made("a", next.title);
  link.href = next.address;
  head.append(link, next.when ? `, ${next.when}` : "");
  by("next-order").append(head, ...next.rows.map(({ label, was, now }) => made("p", `${label}: ${was} → ${now}`)));
}

on("figures", showFigures);
on("orders", showOrders);
on("refused", told);
on("saved", (answer) => { told(answer.text ?? ""); showOrders({}); fillPick(); });

const empty = () => { for (const id of ["figures", "others", "orders", "next-order"]) by(id).replaceChildren(); };

// What the figures are about.
function named() {
  const one = area(), count = state.chosen.length;
  by("chosen").textContent = one ? nameOf(one) : count ? say("{count} areas chosen", { count })
    : say(state.tool === "area" ? "New area" : "No area chosen");
}

on("chosen", () => {
  const one = area();
  if (!state.chosen.length) empty();
  by("pick").value = one?.id ?? "";
  named();
  if (one) {
    if (![...form.surface.options].some((each) => each.value === one.surface)) form.surface.append(option(one.surface, say(one.surface)));
    [form.surface.value, form.hole.value, form.name.value] = [one.surface, one.hole, one.name];
  }
  const layer = one && state.layers[one.layer];
  form.hole.disabled = Boolean(layer) && !layer.hole;
  form.name.disabled = Boolean(layer) && !layer.name;
  by("elsewhere").hidden = !one || layer.saved;
  if (one && !layer.saved) {
    by("elsewhere-file").textContent = `${layer.file}, ${layer.layer}`;
    by("elsewhere-why").textContent = say(layer.why);
  }
  by("keep-what").disabled = !one || !layer.saved;
  by("corner-said").textContent = "";
  tell("looked-at", one);
});

on("corner", () => {
  const [part, ring, number] = state.corner;
  by("corner-said").textContent = say("Corner {number}", { number: number + 1 })
    + (part || ring ? ` (${say("ring {ring}", { ring: ring + 1 })})` : "");
});

on("tool", () => {
  told("");
  named();
  if (state.tool === "area") form.name.value = "";
  by("along-row").hidden = state.tool !== "move";
  strip.hidden = state.tool !== "strip";
  typed.hidden = !["area", "part", "cut"].includes(state.tool);
  for (const button of document.querySelectorAll("button[data-tool]")) {
    button.setAttribute("aria-pressed", String(button.dataset.tool === state.tool));
  }
});

on("draft", () => {
  by("draft-said").textContent = state.draft.length ? say("{count} corners", { count: state.draft.length }) : "";
  by("take-back").disabled = !state.draft.length;
  if (!state.draft.length && !state.chosen.length) empty();
});

for (const one of [form, strip]) one.addEventListener("input", () => tell("described"));

// From where typed metres are counted: the last corner, or else the middle of the map.
export const lastPlace = () => state.draft.at(-1) ?? place(map.getCenter());
