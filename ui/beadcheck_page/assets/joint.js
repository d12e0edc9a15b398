// Reads a coupon file in the browser and hands its words over.
const LARGEST_BYTES = 100000;

element.addEventListener("change", async (event) => {
  if (!event.target.matches(".bc-file")) return;
  const [file] = event.target.files;
  event.target.value = "";
  if (!file) return;
  const contents = file.size > LARGEST_BYTES ? null : await file.text();
  props.value = JSON.stringify({ name: file.name, contents });
  trigger("change");
});
