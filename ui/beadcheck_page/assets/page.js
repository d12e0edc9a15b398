// Keeps the page's line open while a sheet or a table is fetched, and looks after a running measurement when the line that Gradio listens on was cut: once the page
// has shown "Measuring" for longer than it takes, it is loaded anew, which brings the result.
() => {
  const FETCHED = 'a[href*="/sheet/"], a[href^="/log/"]';
  const FETCH_MS = 5000;
  let fetched = -FETCH_MS;
  document.addEventListener("click", (event) => {
    if (event.target.closest(FETCHED)) fetched = event.timeStamp;
  });
  // A browser takes a link to a file for leaving the page until the file comes; Gradio would hang up.
  const stay = (event) => {
    if (event.timeStamp - fetched < FETCH_MS) event.stopImmediatePropagation();
  };
  window.addEventListener("beforeunload", stay, { capture: true });
  const LOOK_MS = 3000;
  const LATE = 4;
  let late = 0;
  // After a night, or once the page was started anew, the code is asked for before anything else.
  const ask = window.fetch;
  window.fetch = async (...asked) => {
    const reply = await ask(...asked);
    if (reply.status === 403) window.location.reload();
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
