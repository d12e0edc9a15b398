// Hands over what is typed beside the photo's values, with the unit it is typed in.
element.addEventListener("input", (event) => {
  const form = event.target.closest("[data-gauged]");
  if (!form) return;
  const typed = {};
  for (const field of form.querySelectorAll("[data-place]")) typed[field.dataset.place] = field.value;
  props.value = JSON.stringify({ result: form.dataset.gauged, unit: form.dataset.unit, typed });
});
