// Brings another measurement into view, and the reading of a screen reader to it.
let shown = "";
watch("value", () => {
  const heading = element.querySelector("h3");
  const now = heading ? heading.textContent : "";
  if (now && now !== shown) {
    heading.focus({ preventScroll: true });
    heading.scrollIntoView({ block: "start" });
  }
  shown = now;
});
