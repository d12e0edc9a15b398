// Two ends of the weld on the photo, by tap or by arrow keys; told as shares of width and height.
const STEP = 0.01;
const FINE_STEP = 0.002;
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
let ends = {};

function board() {
  return element.querySelector(".bc-point");
}

function draw() {
  for (const name of ["start", "end"]) {
    const handle = element.querySelector(`[data-end="${name}"]`);
    handle.hidden = !ends[name];
    if (!ends[name]) continue;
    handle.style.left = 100 * ends[name][0] + "%";
    handle.style.top = 100 * ends[name][1] + "%";
  }
  const line = element.querySelector(".bc-point-line");
  const both = ends.start && ends.end;
  line.classList.toggle("bc-shown", Boolean(both));
  if (!both) return;
  line.setAttribute("x1", 100 * ends.start[0]);
  line.setAttribute("y1", 100 * ends.start[1]);
  line.setAttribute("x2", 100 * ends.end[0]);
  line.setAttribute("y2", 100 * ends.end[1]);
  props.value = JSON.stringify({ photo: board().dataset.photo, start: ends.start, end: ends.end });
}

function nearer(point) {
  if (!ends.start) return "start";
  if (!ends.end) return "end";
  const box = board().getBoundingClientRect();
  const away = (end) => Math.hypot((end[0] - point[0]) * box.width, (end[1] - point[1]) * box.height);
  return away(ends.start) <= away(ends.end) ? "start" : "end";
}

function place(name, point) {
  ends[name] = point.map((share) => Math.min(1, Math.max(0, share)));
  draw();
}

element.addEventListener("click", (event) => {
  if (event.target.closest("[data-place]")) {
    ends = { start: [0.2, 0.5], end: [0.8, 0.5] };
    draw();
    element.querySelector('[data-end="start"]').focus();
    return;
  }
  const on = event.target.closest(".bc-point");
  if (!on || event.detail === 0) return;
  const box = on.getBoundingClientRect();
  const point = [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height];
  place(nearer(point), point);
});

element.addEventListener("keydown", (event) => {
  const handle = event.target.closest("[data-end]");
  const way = KEYS[event.key];
  if (!handle || !way) return;
  event.preventDefault();
  const step = event.shiftKey ? FINE_STEP : STEP;
  const from = ends[handle.dataset.end];
  place(handle.dataset.end, [from[0] + way[0] * step, from[1] + way[1] * step]);
});

watch("picture", () => {
  ends = {};
});
