// Takes no press before the page's first answer has come, which would undo it: the answer says how
// the form stood before.
const page = element.closest(".gradio-container");
page.inert = !props.value;
watch("value", () => {
  page.inert = false;
});
