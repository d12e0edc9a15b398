// Hands over what stands in the fields beside the photo's values, with the unit it is typed in.
function hand() {
  const form = element.querySelector("[data-gauged]");
  if (!form) return;
  const typed = {};
  for (const field of form.querySelectorAll("[data-place]")) typed[field.dataset.place] = field.value;
  const now = JSON.stringify({ result: form.dataset.gauged, unit: form.dataset.unit, typed });
  if (props.value !== now) props.value = now;
}

element.addEventListener("input", hand);
// What was typed before the page's answer came is in the fields still.
watch("value", hand);
