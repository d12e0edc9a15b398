// Fetches sheets and tables without leaving the page, brings answers that Gradio left lying, and looks
// after a running measurement when the line that Gradio listens on was cut: once the page has shown
// "Measuring" for longer than it takes, it is loaded anew, which brings the result.
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
  // Gradio hangs up once every press is answered. A press that crosses with that is carried out, but
  // its answer waits until the next press: so press once more, on something that changes nothing.
  const unanswered = new Set();
  const SETTLE_MS = 500;
  let listening = 0;
  let waking = false;
  const settle = () =>
    setTimeout(() => {
      if (listening || !unanswered.size) return;
      unanswered.clear();
      waking = true;
      document.querySelector("#wake").click();
    }, SETTLE_MS);
  const pressed = async (reply) => {
    if (!waking) unanswered.add((await reply.json()).event_id);
    waking = false;
    settle();
  };
  const listen = async (reply) => {
    listening += 1;
    try {
      let rest = "";
      const text = reply.body.pipeThrough(new TextDecoderStream()).getReader();
      for (let part = await text.read(); !part.done; part = await text.read()) {
        const lines = (rest + part.value).split("\n");
        rest = lines.pop();
        for (const line of lines) {
          const told = line.startsWith("data: ") ? JSON.parse(line.slice(6)) : {};
          if (told.msg === "process_completed") unanswered.delete(told.event_id);
        }
      }
    } catch {
      // cut off: what Gradio makes of that is Gradio's to say
    } finally {
      listening -= 1;
      settle();
    }
  };
  // After a night, or once the page was started anew, the code is asked for before anything else.
  const ask = window.fetch;
  window.fetch = async (...asked) => {
    const reply = await ask(...asked);
    if (reply.headers.get("x-beadcheck-gate") === "closed") window.location.reload();
    else if (reply.ok && /\/queue\/join/.test(reply.url)) pressed(reply.clone());
    else if (reply.ok && /\/queue\/data/.test(reply.url)) listen(reply.clone());
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
