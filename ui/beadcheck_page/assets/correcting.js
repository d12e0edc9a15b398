// Points along a toe on the large photo, by tap, by button or by key; told as shares of its sides.
const ZOOMS = [1, 2, 4, 8, 16];
const COMFORT_PX = 90; // a weld this wide on the screen can be tapped with a thumb
const WORD_PX = 28;
const WORDS_AT = [0.08, 0.27, 0.44, 0.62, 0.8, 0.95]; // along the weld, off the middle: there is the cross
const KEY_STEP_PX = 4;
const NEAR_PX = 22;
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
let points = { left: [], right: [] };
let picked = null; // index into the chosen toe's points
let zoom = 1;
let opener = null;

const all = (selector) => Array.from(element.querySelectorAll(selector));
const board = () => element.querySelector(".bc-correct:not([hidden])");
const part = (selector) => board().querySelector(selector);
const chosen = () => part(".bc-which input:checked").value;
const found = () => JSON.parse(board().dataset.found);

function told(sentence) {
  part(".bc-told").textContent = sentence;
}

function inOrder(line) {
  const stage = part(".bc-stage");
  const spread = (axis) => Math.max(...line.map((p) => p[axis])) - Math.min(...line.map((p) => p[axis]));
  const axis = spread(0) * stage.clientWidth >= spread(1) * stage.clientHeight ? 0 : 1;
  return [...line].sort((a, b) => a[axis] - b[axis]);
}

function stroke(line, name) {
  const at = line.map(([x, y]) => `${1000 * x},${1000 * y}`).join(" ");
  return `<polyline class="bc-halo" points="${at}"/><polyline class="${name}" points="${at}"/>`;
}

function words(toes) {
  if (!toes.left.length) return "";
  const stage = part(".bc-stage");
  return WORDS_AT
    .map((share) => {
      const index = Math.round(share * (toes.left.length - 1));
      return ["left", "right"]
        .map((side) => {
          const [x, y] = toes[side][index];
          const other = toes[side === "left" ? "right" : "left"][index];
          const out = [(x - other[0]) * stage.clientWidth, (y - other[1]) * stage.clientHeight];
          const length = Math.hypot(out[0], out[1]) || 1;
          // Inside the weld, where no toe is looked for, if there is room; else outside.
          const to = length > 2 * WORD_PX ? -0.5 : 1;
          const shift = [WORD_PX * 1.5 * to * (out[0] / length), WORD_PX * to * (out[1] / length)];
          const away = `translate(calc(-50% + ${shift[0]}px), calc(-50% + ${shift[1]}px))`;
          return `<span class="bc-toe-word" style="left:${100 * x}%;top:${100 * y}%;transform:${away}">${side}</span>`;
        })
        .join("");
    })
    .join("");
}

function dots() {
  return ["left", "right"]
    .map((side) =>
      points[side]
        .map(
          ([x, y], index) =>
            `<button type="button" class="bc-dot${side === chosen() ? "" : " bc-idle"}" data-side="${side}" data-index="${index}"` +
            ` aria-pressed="${side === chosen() && index === picked}" style="left:${100 * x}%;top:${100 * y}%">` +
            `<span class="bc-hidden">Point ${index + 1} of ${nameOf(side)}. Arrow keys move it, Delete takes it out.</span></button>`
        )
        .join("")
    )
    .join("");
}

function send() {
  props.value = JSON.stringify({ photo: board().dataset.photo, ...points });
}

function nameOf(side) {
  return part(`.bc-which input[value="${side}"]`).parentElement.textContent.trim().toLowerCase();
}

function count(side) {
  const number = points[side].length;
  const toe = found().left.length ? `the ${nameOf(side)}` : nameOf(side).replace("other", "the other");
  return `${number} ${number === 1 ? "point" : "points"} on ${toe}`;
}

function draw(focus) {
  const toes = found();
  let lines = "";
  if (toes.left.length) lines += stroke(toes.left, "bc-toe-left") + stroke(toes.right, "bc-toe-right");
  for (const side of ["left", "right"]) {
    if (points[side].length > 1) lines += stroke(inOrder(points[side]), "bc-toe-hand");
  }
  part(".bc-stage svg").innerHTML = lines;
  part(".bc-marks").innerHTML = words(toes) + dots();
  if (focus) part(`[data-side="${chosen()}"][data-index="${picked}"]`)?.focus({ preventScroll: true });
  const sides = ["left", "right"];
  const set = sides.filter((side) => points[side].length).map(count);
  const short = sides.some((side) => points[side].length === 1);
  const both = toes.left.length || sides.every((side) => points[side].length);
  const ready = set.length > 0 && !short && both;
  let next = "Press “Measure with my toe”.";
  if (!both) next = "Tap along the other toe too.";
  if (short) next = "Tap another point further along.";
  const none = toes.left.length ? "No point yet: the found toes count." : "No point yet.";
  told(set.length ? `${set.join(", ")}. ${next}` : none);
  document.querySelector("#corrected").disabled = !ready;
  send();
}

function middle() {
  const view = part(".bc-view");
  const stage = part(".bc-stage");
  const reach = (scroll, room, size) => Math.min(1, (scroll + room / 2) / size);
  return [
    reach(view.scrollLeft, view.clientWidth, stage.clientWidth),
    reach(view.scrollTop, view.clientHeight, stage.clientHeight),
  ];
}

function look(at) {
  const view = part(".bc-view");
  const stage = part(".bc-stage");
  view.scrollLeft = at[0] * stage.clientWidth - view.clientWidth / 2;
  view.scrollTop = at[1] * stage.clientHeight - view.clientHeight / 2;
}

function enlarge(to, at = middle()) {
  zoom = to;
  part(".bc-stage").style.width = `${100 * zoom}%`;
  part(".bc-zoom").textContent = `${zoom}×`;
  part('[data-zoom="-1"]').disabled = zoom === ZOOMS[0];
  part('[data-zoom="1"]').disabled = zoom === ZOOMS[ZOOMS.length - 1];
  const view = part(".bc-view");
  part(".bc-cross").style.left = `${view.clientWidth / 2}px`;
  part(".bc-cross").style.top = `${view.clientHeight / 2}px`;
  look(at);
  draw();
}

function open(key) {
  all(".bc-correct").forEach((each) => (each.hidden = each.dataset.photo !== key));
  if (!board()) return;
  document.body.classList.add("bc-correcting");
  points = JSON.parse(board().dataset.hand);
  picked = null;
  document.body.classList.toggle("bc-by-hand", points.left.length + points.right.length > 0);
  const toes = found();
  const wide = toes.width * part(".bc-view").clientWidth;
  const fit = ZOOMS.find((each) => wide * each >= COMFORT_PX) || 8;
  enlarge(toes.left.length ? fit : 1, toes.left[Math.floor(toes.left.length / 2)] || [0.5, 0.5]);
  const heading = part("h2");
  heading.focus({ preventScroll: true });
  heading.scrollIntoView({ block: "start" });
}

function close() {
  document.body.classList.remove("bc-correcting");
  all(".bc-correct").forEach((each) => (each.hidden = true));
}

function add(point) {
  points[chosen()].push(point.map((share) => Math.min(1, Math.max(0, share))));
  picked = points[chosen()].length - 1;
}

function move(by, focus) {
  const line = points[chosen()];
  if (picked === null || !line[picked]) return told("Tap a point first.");
  const stage = part(".bc-stage");
  const step = [by[0] / stage.clientWidth, by[1] / stage.clientHeight];
  line[picked] = line[picked].map((share, i) => Math.min(1, Math.max(0, share + step[i])));
  draw(focus);
}

function takeOut(index) {
  points[chosen()].splice(index, 1);
  picked = points[chosen()].length ? points[chosen()].length - 1 : null;
  draw();
}

function choose(side, index) {
  part(`.bc-which input[value="${side}"]`).checked = true;
  picked = index;
  draw(true);
}

function tap(event) {
  const box = part(".bc-stage").getBoundingClientRect();
  const at = [event.clientX - box.left, event.clientY - box.top];
  const away = points[chosen()].map(([x, y]) => Math.hypot(x * box.width - at[0], y * box.height - at[1]));
  const nearest = away.indexOf(Math.min(...away));
  if (away[nearest] < NEAR_PX) return choose(chosen(), nearest);
  add([at[0] / box.width, at[1] / box.height]);
  draw();
}

element.addEventListener("click", (event) => {
  const on = (selector) => event.target.closest(selector);
  if (!board()) return;
  if (on("[data-close]")) {
    close();
    opener?.focus();
    opener?.scrollIntoView({ block: "center" });
    return;
  }
  if (on("[data-zoom]")) {
    const next = ZOOMS.indexOf(zoom) + Number(on("[data-zoom]").dataset.zoom);
    return enlarge(ZOOMS[Math.min(ZOOMS.length - 1, Math.max(0, next))]);
  }
  if (on("[data-nudge]")) return move(on("[data-nudge]").dataset.nudge.split(",").map(Number));
  if (on("[data-undo]")) return points[chosen()].length ? takeOut(points[chosen()].length - 1) : undefined;
  if (on("[data-wipe]")) {
    points[chosen()] = [];
    picked = null;
    return draw();
  }
  if (on("[data-add]")) {
    add(middle());
    return draw(true);
  }
  if (on("[data-side]")) return choose(on("[data-side]").dataset.side, Number(on("[data-side]").dataset.index));
  if (on(".bc-stage") && event.detail !== 0) tap(event);
});

element.addEventListener("change", (event) => {
  if (!event.target.closest(".bc-which")) return;
  picked = points[chosen()].length ? points[chosen()].length - 1 : null;
  draw();
});

element.addEventListener("keydown", (event) => {
  const dot = event.target.closest("[data-side]");
  if (!dot) return;
  const way = KEYS[event.key];
  if (way) {
    event.preventDefault();
    const step = event.shiftKey ? 1 : KEY_STEP_PX;
    picked = Number(dot.dataset.index);
    part(`.bc-which input[value="${dot.dataset.side}"]`).checked = true;
    move([way[0] * step, way[1] * step], true);
  } else if (event.key === "Delete" || event.key === "Backspace") {
    event.preventDefault();
    part(`.bc-which input[value="${dot.dataset.side}"]`).checked = true;
    takeOut(Number(dot.dataset.index));
    part("[data-add]").focus();
  }
});

document.addEventListener("click", (event) => {
  const asked = event.target.closest("[data-correct]");
  if (!asked) return;
  opener = asked;
  open(asked.dataset.correct);
});

watch("boards", close);
