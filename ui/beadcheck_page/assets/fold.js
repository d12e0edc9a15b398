// Folds a part of the page; its fields stay in the page, so that nothing entered is lost.
element.addEventListener("click", (event) => {
  if (!event.target.closest(".bc-fold-button")) return;
  props.open = document.body.classList.toggle(`bc-${props.part}`) ? "true" : "false";
  if (props.open === "true") trigger("click");
});
// New words come with the first state: what the page shows is what counts.
watch("value", () => {
  props.open = document.body.classList.contains(`bc-${props.part}`) ? "true" : "false";
});
