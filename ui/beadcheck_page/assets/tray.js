// Takes one photo out again, and says aloud what was seen in the others.
const teller = document.createElement("div");
teller.className = "bc-hidden";
teller.setAttribute("role", "status");
teller.setAttribute("aria-atomic", "false"); // what is added is read, and no news takes another's place
document.body.append(teller);
const told = new Map();

function tell() {
  for (const item of element.querySelectorAll(".bc-photos > li")) {
    const look = item.querySelector("[data-look]");
    const key = item.querySelector("[data-remove]").dataset.remove;
    if (look.dataset.look === "looking" || told.get(key) === look.textContent) continue;
    told.set(key, look.textContent);
    const line = document.createElement("p");
    line.textContent = `${item.querySelector(".bc-photo-name").textContent}: ${look.textContent}`;
    teller.append(line);
  }
}

watch("value", tell);
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
