// The list of pages stands open beside a wide page and closed above a narrow one.
const wide = matchMedia("(min-width: 60rem)");
const menu = document.querySelector(".menu");
const place = () => { menu.open = wide.matches; };
wide.addEventListener("change", place);
place();
