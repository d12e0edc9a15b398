// Opens a measurement of the list, or another page of it; told beside what is shown already.
let turned = false;

element.addEventListener("click", (event) => {
  const button = event.target.closest("[data-number], [data-skipped]");
  if (!button) return;
  const shown = JSON.parse(props.value || "{}");
  turned = "skipped" in button.dataset;
  if (turned) props.value = JSON.stringify({ ...shown, skipped: Number(button.dataset.skipped) });
  else props.value = JSON.stringify({ ...shown, number: Number(button.dataset.number) });
  trigger("click");
});
// The buttons that turned the page are gone: whoever uses keys goes on at the new page's top.
watch("lines", () => {
  if (turned) element.querySelector("[data-lines]")?.focus();
  turned = false;
});
