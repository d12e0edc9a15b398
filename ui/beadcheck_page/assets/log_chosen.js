// Brings another measurement into view, and the reading of a screen reader to it.
let shown = "";
element.addEventListener("click", (event) => {
  if (!event.target.closest("[data-back]")) return;
  // It is on another page of the list, if that was turned.
  const list = document.querySelector("#log-list");
  const line = list.querySelector("[aria-current]") || list.querySelector("[data-lines]");
  line.focus({ preventScroll: true });
  line.scrollIntoView({ block: "center" });
});
watch("value", () => {
  const heading = element.querySelector("h3");
  const now = heading ? heading.textContent : "";
  if (now && now !== shown) {
    heading.focus({ preventScroll: true });
    heading.scrollIntoView({ block: "start" });
  }
  shown = now;
});
