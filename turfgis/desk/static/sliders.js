// A form of sliders asks for its page anew while it is moved, and shows the part that answers.
for (const form of document.querySelectorAll("form[data-live]")) {
  const place = document.getElementById(form.dataset.live);
  let waiting = 0;
  let asked = 0;

  const tell = (slider) => {
    const shown = new Intl.NumberFormat(document.documentElement.lang, {
      minimumFractionDigits: Number(slider.dataset.decimals),
      maximumFractionDigits: Number(slider.dataset.decimals),
    });
    form.querySelector(`output[for="${slider.id}"]`).textContent = `${shown.format(slider.value)} ${slider.dataset.unit}`;
  };

  const ask = async () => {
    const address = `${form.getAttribute("action")}?${new URLSearchParams(new FormData(form))}`;
    const turn = ++asked;
    place.setAttribute("aria-busy", "true");
    const answer = await fetch(address);
    if (turn !== asked) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const made = page.getElementById(place.id) || page.querySelector(".told");
    place.replaceChildren(...[...(made.id === place.id ? made.childNodes : [made])].map((one) => document.importNode(one, true)));
    place.removeAttribute("aria-busy");
    if (answer.ok) history.replaceState(null, "", address);
  };

  form.querySelector("button").hidden = true;
  form.addEventListener("submit", (event) => { event.preventDefault(); ask(); });
  form.addEventListener("input", (event) => {
    if (event.target.type === "range") tell(event.target);
    clearTimeout(waiting);
    waiting = setTimeout(ask, 150);
  });
}
