// Folds a part of the page; its fields stay in the page, so that nothing entered is lost.
element.addEventListener("click", (event) => {
  if (!event.target.closest(".bc-fold-button")) return;
  props.open = props.open === "true" ? "false" : "true";
  document.body.classList.toggle(`bc-${props.part}`, props.open === "true");
});
