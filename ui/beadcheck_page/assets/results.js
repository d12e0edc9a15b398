// Brings a new result into view, and the reading of a screen reader to it.
let shown = null;
function bring() {
  const result = element.querySelector("[data-result]");
  if (!result) {
    shown = null;
    return;
  }
  if (result.dataset.result === shown) return;
  shown = result.dataset.result;
  const heading = result.querySelector("h2");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  heading.focus({ preventScroll: true });
  heading.scrollIntoView({ behavior: calm ? "auto" : "smooth", block: "start" });
}
watch("value", bring);
// The places for a gauge, where somebody looks at them, are those of this result and in its unit.
watch("value", () => {
  if (document.body.classList.contains("bc-gauge-fields")) trigger("change");
});
// Measures what shows no target without one.
element.addEventListener("click", (event) => {
  if (event.target.closest("[data-bare]")) document.querySelector("#bare").click();
  // Lead to where the photo for the height, and the ends of the weld, are asked for.
  if (event.target.closest("[data-to-heights]")) lead(".bc-ways h2");
  if (event.target.closest("[data-to-pointing]")) lead("#pointing h2");
});
function lead(where) {
  const heading = document.querySelector(where);
  heading.focus({ preventScroll: true });
  heading.scrollIntoView({ block: "start" });
}
