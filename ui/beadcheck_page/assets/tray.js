// Takes one photo out again.
element.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-remove]");
  if (!button) return;
  button.disabled = true;
  try {
    await fetch("photos/" + button.dataset.remove, { method: "DELETE", headers: { "X-Beadcheck": "page" } });
    trigger("change");
  } catch {
    button.disabled = false;
  }
});
