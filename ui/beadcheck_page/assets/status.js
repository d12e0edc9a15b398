// Brings a refusal, and the start of a measurement, into view where its button stands far below.
let before = "";
watch("value", () => {
  const refused = element.querySelector(".bc-refusal");
  const now = refused ? refused.textContent : element.querySelector("progress") ? "running" : "";
  if (now && now !== before) element.scrollIntoView({ block: "nearest" });
  before = now;
});
