// Draws the section across the weld that is chosen by tap, by slider or by key.
{
  const MM_PER_INCH = 25.4;
  const SVG = "http://www.w3.org/2000/svg";
  const SIDE_MM = 6; // of base metal beside each toe
  const MOST_TALL = 0.62; // of the plot's width
  const MOST_WIDE = 640;
  const LINE_PX = 19; // between two lines of words
  const HIT_PX = 400; // a tap further from every section is no choice
  const TIMES = [1, 2, 3, 4, 5];
  let told = null; // what the computer that serves the page says of the sections
  let address = "";
  let chosen = [0, 0]; // group, section

  const root = () => element.querySelector(".bc-sections");
  const part = (selector) => root().querySelector(selector);
  const unit = () => root().dataset.unit;
  const group = () => told.groups[chosen[0]];
  const section = () => group().sections[chosen[1]];

  function made(name, attributes, words) {
    const node = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
    if (words !== undefined) node.textContent = words;
    return node;
  }

  // Runs of points without a hole in them.
  function runs(heights) {
    const found = [];
    heights.forEach((height, index) => {
      if (height === null) return;
      if (index && heights[index - 1] !== null) found[found.length - 1].push(index);
      else found.push([index]);
    });
    return found;
  }

  function shownRange(shown) {
    const seen = shown.across_mm.filter((_, index) => shown.height_mm[index] !== null);
    const [left, right] = shown.toes_mm;
    const first = left === null ? seen[0] : Math.max(seen[0], left - SIDE_MM);
    const last = right === null ? seen[seen.length - 1] : Math.min(seen[seen.length - 1], right + SIDE_MM);
    return [first, last];
  }

  function heightsRange(shown, [first, last]) {
    const heights = told.limits[unit()].map((limit) => limit.height_mm).concat(0);
    shown.across_mm.forEach((place, index) => {
      if (place < first || place > last || shown.height_mm[index] === null) return;
      heights.push(shown.height_mm[index] + shown.u_mm[index], shown.height_mm[index] - shown.u_mm[index]);
    });
    return [Math.min(...heights), Math.max(...heights)];
  }

  // One length on both axes where the bead is tall enough for it; else heights drawn larger, and said.
  function exaggeration(wide, tall, pxPerMm, width) {
    return [...TIMES].reverse().find((times) => tall * pxPerMm * times <= MOST_TALL * width) || 1;
  }

  function tickStep(span, most) {
    const rough = span / most;
    const power = 10 ** Math.floor(Math.log10(rough));
    return [1, 2, 5, 10].map((each) => each * power).find((each) => each >= rough);
  }

  function ticks([low, high], most) {
    const per = unit() === "inch" ? MM_PER_INCH : 1;
    const step = tickStep((high - low) / per, most);
    const digits = Math.max(0, -Math.floor(Math.log10(step)));
    const found = [];
    for (let n = Math.ceil(low / per / step); n * step * per <= high; n += 1) found.push([n * step * per, (n * step).toFixed(digits)]);
    return found;
  }

  function axes(plot, frame, across, heights) {
    const { x, y, left, right, top, bottom } = frame;
    for (const [at, words] of ticks(heights, 5)) {
      plot.append(made("line", { class: "bc-plot-grid", x1: left, x2: right, y1: y(at), y2: y(at) }));
      plot.append(made("text", { x: left - 6, y: y(at) + 5, "text-anchor": "end" }, words));
    }
    for (const [at, words] of ticks(across, 6)) {
      plot.append(made("line", { class: "bc-plot-grid", x1: x(at), x2: x(at), y1: top, y2: bottom }));
      plot.append(made("text", { x: x(at), y: bottom + 18, "text-anchor": "middle" }, words));
    }
    plot.append(made("line", { class: "bc-plot-base", x1: left, x2: right, y1: y(0), y2: y(0) }));
    const letters = unit() === "inch" ? "in" : "mm";
    plot.append(made("text", { x: left, y: bottom + 38 }, `across the weld (${letters})`));
    plot.append(made("text", { x: 2, y: 15 }, `height (${letters})${frame.times > 1 ? `, drawn ${frame.times} times as large` : ""}`));
  }

  // Words beside the base stand under the bead: at either side they would run into those of the toes.
  function limits(plot, frame, [left, right]) {
    let free = frame.top + 6;
    const middle = left === null || right === null ? (frame.left + frame.right) / 2 : frame.x((left + right) / 2);
    for (const limit of [...told.limits[unit()]].sort((a, b) => b.height_mm - a.height_mm)) {
      const at = frame.y(limit.height_mm);
      plot.append(made("line", { class: "bc-plot-limit", x1: frame.left, x2: frame.right, y1: at, y2: at }));
      const below = limit.height_mm < 0;
      const words = Math.max(free, below ? at + 15 : at - 5);
      free = words + LINE_PX;
      const beside = Math.abs(at - frame.y(0)) < 2 * LINE_PX;
      const where = beside ? { x: middle, "text-anchor": "middle" } : { x: frame.right - 4, "text-anchor": "end" };
      plot.append(made("text", { class: "bc-plot-halo", y: words, ...where }, limit.words));
    }
  }

  function curve(plot, frame, shown) {
    const point = (index, add = 0) => `${frame.x(shown.across_mm[index]).toFixed(1)},${frame.y(shown.height_mm[index] + add).toFixed(1)}`;
    for (const run of runs(shown.height_mm)) {
      const up = run.map((index) => point(index, shown.u_mm[index]));
      const down = [...run].reverse().map((index) => point(index, -shown.u_mm[index]));
      plot.append(made("polygon", { class: "bc-plot-band", points: [...up, ...down].join(" ") }));
    }
    for (const run of runs(shown.height_mm)) plot.append(made("polyline", { class: "bc-plot-line", points: run.map((index) => point(index)).join(" ") }));
  }

  function heightAt(shown, place) {
    const away = shown.across_mm.map((each, index) => (shown.height_mm[index] === null ? Infinity : Math.abs(each - place)));
    return shown.height_mm[away.indexOf(Math.min(...away))];
  }

  function marks(plot, frame, shown) {
    shown.toes_mm.forEach((place, side) => {
      if (place === null) return;
      const at = frame.x(place);
      plot.append(made("line", { class: "bc-plot-toe", x1: at, x2: at, y1: frame.y(0) - 14, y2: frame.y(0) + 10 }));
      const words = side ? "right toe" : "left toe";
      plot.append(made("text", { class: "bc-plot-halo", x: at + (side ? 6 : -6), y: frame.y(0) - 16, "text-anchor": side ? "start" : "end" }, words));
    });
    for (const place of shown.marks_mm) plot.append(made("circle", { class: "bc-plot-mark", cx: frame.x(place), cy: frame.y(heightAt(shown, place)), r: 6 }));
  }

  function draw() {
    const shown = section();
    const width = Math.min(MOST_WIDE, Math.max(280, Math.round(part(".bc-plot").clientWidth)));
    const across = shownRange(shown);
    const heights = heightsRange(shown, across);
    const margin = { left: 46, right: 14, top: 30, bottom: 46 };
    const room = width - margin.left - margin.right;
    const pxPerMm = room / (across[1] - across[0]);
    const times = exaggeration(across[1] - across[0], heights[1] - heights[0], pxPerMm, room);
    const pad = 22; // for the words at the highest and the lowest line
    const tall = (heights[1] - heights[0]) * pxPerMm * times;
    const top = margin.top;
    const bottom = top + tall + 2 * pad;
    const frame = {
      times,
      top,
      bottom,
      left: margin.left,
      right: width - margin.right,
      x: (place) => margin.left + (place - across[0]) * pxPerMm,
      y: (height) => top + pad + (heights[1] - height) * pxPerMm * times,
    };
    const plot = made("svg", { viewBox: `0 0 ${width} ${Math.round(bottom + margin.bottom)}`, width, height: Math.round(bottom + margin.bottom), role: "img" });
    plot.append(made("title", {}, `Section at ${shown.at[unit()]}. ${shown.says.map((each) => each[unit()]).join("; ")}.`));
    const padMm = pad / pxPerMm / times;
    axes(plot, frame, across, [heights[0] - padMm, heights[1] + padMm]);
    const cut = made("svg", { x: frame.left, y: 0, width: room, height: Math.round(bottom + margin.bottom), viewBox: `${frame.left} 0 ${room} ${Math.round(bottom + margin.bottom)}` });
    curve(cut, frame, shown);
    plot.append(cut);
    limits(plot, frame, shown.toes_mm);
    marks(plot, frame, shown);
    part(".bc-plot").replaceChildren(plot);
  }

  // The relief of a pair: a section is an upright line on its map.
  function relief() {
    const place = part("[data-relief]");
    const told = group().relief;
    place.hidden = !told;
    if (!told) return;
    const [left, top, right, bottom] = told.box_px;
    const [first, last] = told.s_range_mm;
    const x = left + ((right - left) * (section().s_mm - first)) / (last - first);
    if (!place.firstChild) {
      const picture = new Image(told.width_px, told.height_px);
      picture.src = address.replace(/[^/]*$/, told.name);
      picture.alt = "Shaded relief of the heights; the section that is shown is an upright line on it";
      picture.draggable = false;
      place.append(picture, made("svg", { viewBox: `0 0 ${told.width_px} ${told.height_px}`, "aria-hidden": "true" }));
    }
    const ends = { x1: x, x2: x, y1: top, y2: bottom };
    place.querySelector("svg").replaceChildren(made("line", { class: "bc-halo", ...ends }), made("line", { class: "bc-section-line", ...ends }));
  }

  function tapRelief(event) {
    const { box_px: [left, , right], s_range_mm: [first, last], width_px: wide } = group().relief;
    const box = part("[data-relief]").getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * wide;
    const s = first + ((last - first) * (x - left)) / (right - left);
    const away = group().sections.map((each) => Math.abs(each.s_mm - s));
    choose(away.indexOf(Math.min(...away)));
  }

  function line() {
    const shown = section();
    for (const picture of root().querySelectorAll("[data-picture]")) {
      picture.hidden = Number(picture.dataset.picture) !== shown.picture;
      const svg = picture.querySelector("svg");
      svg.replaceChildren();
      if (picture.hidden || !shown.line) continue;
      const [[x1, y1], [x2, y2]] = shown.line;
      svg.append(made("line", { class: "bc-halo", x1, y1, x2, y2 }), made("line", { class: "bc-section-line", x1, y1, x2, y2 }));
    }
  }

  function show() {
    const shown = section();
    const slider = part("input[type=range]");
    slider.max = group().sections.length - 1;
    slider.value = chosen[1];
    slider.setAttribute("aria-valuetext", shown.at[unit()]);
    part(".bc-section-tools").hidden = group().sections.length < 2;
    part(".bc-section-how").hidden = group().sections.length < 2;
    part(".bc-section-at").textContent = shown.at[unit()];
    part('[data-section="-1"]').disabled = chosen[1] === 0;
    part('[data-section="1"]').disabled = chosen[1] === group().sections.length - 1;
    part(".bc-section-says").replaceChildren(
      ...shown.says.map((each) => {
        const item = document.createElement("li");
        item.textContent = each[unit()];
        return item;
      })
    );
    relief();
    line();
    draw();
  }

  function choose(index) {
    chosen[1] = Math.min(group().sections.length - 1, Math.max(0, index));
    show();
  }

  function tap(event) {
    const picture = event.target.closest("[data-picture]");
    const box = picture.getBoundingClientRect();
    const [, , wide] = picture.querySelector("svg").getAttribute("viewBox").split(" ").map(Number);
    const scale = wide / box.width;
    const at = [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
    const away = group().sections.map((each) => {
      if (!each.line || each.picture !== Number(picture.dataset.picture)) return Infinity;
      const [[x1, y1], [x2, y2]] = each.line;
      const length = Math.hypot(x2 - x1, y2 - y1);
      return Math.abs((x2 - x1) * (at[1] - y1) - (y2 - y1) * (at[0] - x1)) / length / scale;
    });
    const nearest = away.indexOf(Math.min(...away));
    if (away[nearest] < HIT_PX) choose(nearest);
  }

  async function begin() {
    if (!root()) return;
    if (address !== root().dataset.sections) {
      address = root().dataset.sections;
      told = null;
      const reply = await fetch(address);
      if (!reply.ok || !root() || address !== root().dataset.sections) return;
      told = await reply.json();
      chosen = [0, Math.floor((told.groups[0].sections.length - 1) / 2)];
    }
    if (!told || !root()) return;
    const groups = part(".bc-section-group select");
    groups.replaceChildren(...told.groups.map((each, index) => new Option(each.title, index)));
    groups.value = chosen[0];
    part(".bc-section-group").hidden = told.groups.length < 2;
    show();
  }

  element.addEventListener("input", (event) => {
    if (event.target.matches(".bc-sections input[type=range]")) choose(Number(event.target.value));
  });
  element.addEventListener("change", (event) => {
    if (!event.target.matches(".bc-section-group select")) return;
    chosen = [Number(event.target.value), 0];
    part("[data-relief]").replaceChildren();
    choose(Math.floor((group().sections.length - 1) / 2));
  });
  element.addEventListener("click", (event) => {
    const step = event.target.closest("[data-section]");
    if (step) return choose(chosen[1] + Number(step.dataset.section));
    if (event.target.closest("[data-relief]")) return tapRelief(event);
    if (event.target.closest("[data-picture]")) tap(event);
  });
  let last = 0;
  window.addEventListener("resize", () => {
    if (!told || !root() || window.innerWidth === last) return;
    last = window.innerWidth;
    draw();
  });
  watch("value", begin);
  begin();
}
