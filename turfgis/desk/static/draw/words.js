// Texts are English in the code and their own keys; the page brings the translations along.
const catalogue = JSON.parse(document.getElementById("words").textContent);

export function say(english, values = {}) {
  const text = catalogue[english] ?? english;
  return text.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
}

// An element with a class and a text; whatever the text is, it stays text.
export function made(tag, text = "", kind = "") {
  const element = document.createElement(tag);
  element.textContent = text;
  if (kind) element.className = kind;
  return element;
}
