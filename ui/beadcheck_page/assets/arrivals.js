// Sends photos to the page's own door, one after another, and says how far it is.
const PATIENCE_MS = 180000;
const MEGABYTE = 1000000;
const LOST = "did not get through: the connection was lost. Send it again.";
const sending = element.querySelector(".bc-sending");
const unsent = element.querySelector(".bc-unsent");
const waiting = [];
let busy = false;

function refuse(sentence) {
  const item = document.createElement("li");
  item.textContent = sentence;
  unsent.append(item);
}

function said(reply, name) {
  try {
    return JSON.parse(reply).sentence;
  } catch {
    return `${name} ${LOST}`;
  }
}

function send(file) {
  return new Promise((done) => {
    const call = new XMLHttpRequest();
    const size = (file.size / MEGABYTE).toFixed(1);
    call.open("POST", "photos?name=" + encodeURIComponent(file.name || "photo"));
    call.setRequestHeader("X-Beadcheck", "page");
    call.timeout = PATIENCE_MS;
    call.upload.onprogress = (event) => {
      const sent = (event.loaded / MEGABYTE).toFixed(1);
      const left = waiting.length ? `, ${waiting.length} more to send` : "";
      sending.textContent =
        event.loaded < event.total ? `Sending ${sent} of ${size} MB${left}.` : `Opening the photo${left}.`;
    };
    call.onload = () => {
      const sentence = said(call.responseText, file.name);
      if (sentence) refuse(sentence);
      done();
    };
    call.onerror = call.ontimeout = call.onabort = () => {
      refuse(`${file.name} ${LOST}`);
      done();
    };
    call.send(file);
  });
}

async function sendAll(files) {
  waiting.push(...files);
  if (busy) return;
  busy = true;
  unsent.replaceChildren();
  while (waiting.length) {
    await send(waiting.shift());
    trigger("change");
  }
  sending.textContent = "";
  busy = false;
}

element.addEventListener("change", (event) => {
  if (!event.target.matches(".bc-file")) return;
  const files = Array.from(event.target.files);
  event.target.value = "";
  sendAll(files);
});
