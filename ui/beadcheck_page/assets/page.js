// Fetches sheets and tables without leaving the page, and looks after a running measurement when the
// line that Gradio listens on was cut: once the page has shown "Measuring" for longer than it takes,
// it is loaded anew, which brings the result.
() => {
  // A browser takes a plain link to a file for leaving the page, and Gradio then hangs up.
  const FETCHED = 'a[href*="/sheet/"], a[href^="/log/"]';
  const CUT = "The connection was lost. Press it once more.";
  const refuse = (link, sentence) => {
    const told = document.createElement("p");
    told.className = "bc-refusal";
    told.setAttribute("role", "alert");
    told.textContent = sentence;
    link.parentElement.append(told);
  };
  const bring = async (link) => {
    link.parentElement.querySelectorAll(".bc-refusal").forEach((told) => told.remove());
    link.setAttribute("aria-busy", "true");
    try {
      const reply = await window.fetch(link.href);
      if (!reply.ok) return refuse(link, await reply.text());
      const named = /filename="([^"]+)"/.exec(reply.headers.get("content-disposition"));
      const file = document.createElement("a");
      file.href = URL.createObjectURL(await reply.blob());
      file.download = named ? named[1] : "beadcheck";
      file.click();
      setTimeout(() => URL.revokeObjectURL(file.href), 60000);
    } catch {
      refuse(link, CUT);
    } finally {
      link.removeAttribute("aria-busy");
    }
  };
  document.addEventListener("click", (event) => {
    const link = event.target.closest(FETCHED);
    if (!link) return;
    event.preventDefault();
    if (!link.hasAttribute("aria-busy")) bring(link);
  });
  const LOOK_MS = 3000;
  const LATE = 4;
  let late = 0;
  // After a night, or once the page was started anew, the code is asked for before anything else.
  const ask = window.fetch;
  window.fetch = async (...asked) => {
    const reply = await ask(...asked);
    if (reply.headers.get("x-beadcheck-gate") === "closed") window.location.reload();
    return reply;
  };
  const look = async () => {
    if (!document.querySelector("#status progress")) {
      late = 0;
      return;
    }
    try {
      const reply = await fetch("standing", { headers: { "X-Beadcheck": "page" } });
      late = (await reply.json()).running ? 0 : late + 1;
    } catch {
      return; // still cut off
    }
    if (late >= LATE) window.location.reload();
  };
  setInterval(look, LOOK_MS);
};
