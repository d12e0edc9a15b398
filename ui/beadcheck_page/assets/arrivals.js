// Sends photos to the page's own door, one after another, from the top of the page and from
// where a further photo is asked for.
const PATIENCE_MS = 180000;
const MEGABYTE = 1000000;
const LOST = "did not get through: the connection was lost. Send it again.";
const waiting = [];
let busy = false;

function refuse(sentence, place) {
  const item = document.createElement("li");
  item.textContent = sentence;
  place.querySelector(".bc-unsent").append(item);
}

function said(reply, name) {
  try {
    return JSON.parse(reply).sentence;
  } catch {
    return `${name} ${LOST}`;
  }
}

function send({ file, place, use }) {
  return new Promise((done) => {
    const sending = place.querySelector(".bc-sending");
    const call = new XMLHttpRequest();
    const size = (file.size / MEGABYTE).toFixed(1);
    call.open("POST", "photos?" + new URLSearchParams({ name: file.name || "photo", ...use }));
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
      if (sentence) refuse(sentence, place);
      done();
    };
    call.onerror = call.ontimeout = call.onabort = () => {
      refuse(`${file.name} ${LOST}`, place);
      done();
    };
    call.onloadend = () => (sending.textContent = "");
    call.send(file);
  });
}

async function sendAll(files, place, use) {
  place.querySelector(".bc-unsent").replaceChildren();
  waiting.push(...files.map((file) => ({ file, place, use })));
  if (busy) return;
  busy = true;
  while (waiting.length) {
    await send(waiting.shift());
    trigger("change");
  }
  busy = false;
}

// `place` shows how far it is, and what was refused; `use` says what the photos are for.
function taken(event, place, use) {
  const files = Array.from(event.target.files);
  event.target.value = "";
  sendAll(files, place, use);
}

element.addEventListener("change", (event) => {
  if (event.target.matches(".bc-file")) taken(event, element, {});
});
document.addEventListener("change", (event) => {
  const way = event.target.matches(".bc-file") && event.target.closest("[data-way]");
  if (!way) return;
  const first = way.querySelector("[name=first-view]:checked");
  document.dispatchEvent(new CustomEvent("bc-further"));
  taken(event, way, { kind: way.dataset.way, ...(first ? { with: first.value } : {}) });
});
