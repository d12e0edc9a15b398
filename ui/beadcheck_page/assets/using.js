// What is said about a photo, wherever on the page it is listed: told as it is entered.
{
  const STEP = 0.01;
  const FINE_STEP = 0.002;
  const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const LOST = "This did not get through: the connection was lost. Enter it again.";
  let opened = null; // the board that shows the step, by photo and part of the page
  let focused = null;
  let shown = null; // the last further photo before that
  let expected = false; // a further photo that was sent from where it is asked for

  const boardsName = (use) => `${use.closest("ul").getAttribute("aria-label")} ${use.dataset.photo}`;
  const uses = () => Array.from(document.querySelectorAll(".bc-use"));

  function say(use, sentence) {
    use.querySelector(".bc-use-told").textContent = sentence;
  }

  async function tell(use, told) {
    try {
      const reply = await fetch(`photos/${use.dataset.photo}/use`, {
        method: "PUT",
        headers: { "X-Beadcheck": "page" },
        body: JSON.stringify(told),
      });
      const { sentence } = await reply.json();
      say(use, sentence);
      return !sentence;
    } catch {
      say(use, LOST);
      return false;
    }
  }

  async function entered(field) {
    const use = field.closest(".bc-use");
    const name = field.dataset.use;
    const told = { [name]: field.value };
    if (field.dataset.unit) told.unit = field.dataset.unit;
    if (await tell(use, told)) trigger("change");
    else field.value = field.dataset.was ?? field.value;
  }

  function place(point, at) {
    const handle = point.querySelector("[data-step-at]");
    point.dataset.at = at ? at.join(",") : "";
    handle.hidden = !at;
    if (!at) return;
    handle.style.left = `${100 * at[0]}%`;
    handle.style.top = `${100 * at[1]}%`;
  }

  function mark(use, at) {
    const within = at && at.map((share) => Math.min(1, Math.max(0, share)));
    place(use.querySelector(".bc-point"), within);
    tell(use, { place: within });
  }

  function open(use, shown) {
    const board = use.querySelector(".bc-step");
    if (!board) return;
    board.hidden = !shown;
    use.querySelector("[data-step-board]").setAttribute("aria-expanded", String(shown));
    const at = board.querySelector(".bc-point").dataset.at;
    place(board.querySelector(".bc-point"), at ? at.split(",").map(Number) : null);
  }

  function clicked(event, use) {
    const on = (selector) => event.target.closest(selector);
    if (on("[data-step]")) {
      const field = use.querySelector('[data-use="step"]');
      field.value = on("[data-step]").dataset.step;
      entered(field);
    } else if (on("[data-step-board]")) {
      const shown = use.querySelector(".bc-step").hidden;
      opened = shown ? boardsName(use) : null;
      open(use, shown);
    } else if (on("[data-step-middle]")) {
      mark(use, [0.5, 0.5]);
      use.querySelector("[data-step-at]").focus();
    } else if (on("[data-step-clear]")) {
      mark(use, null);
    } else if (on(".bc-point") && event.detail !== 0) {
      const box = on(".bc-point").getBoundingClientRect();
      mark(use, [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height]);
    }
  }

  document.addEventListener("click", (event) => {
    const use = event.target.closest(".bc-use");
    if (use) clicked(event, use);
  });
  document.addEventListener("change", (event) => {
    const field = event.target.closest("[data-use]");
    if (field) entered(field);
  });
  document.addEventListener("keydown", (event) => {
    const handle = event.target.closest("[data-step-at]");
    const way = KEYS[event.key];
    if (!handle || !way) return;
    event.preventDefault();
    const step = event.shiftKey ? FINE_STEP : STEP;
    const at = handle.closest(".bc-point").dataset.at.split(",").map(Number);
    mark(handle.closest(".bc-use"), [at[0] + way[0] * step, at[1] + way[1] * step]);
  });

  document.addEventListener("bc-further", () => {
    expected = true;
    shown = document.querySelector("#further .bc-photos > li:last-child [data-remove]")?.dataset.remove;
  });

  // A list that is drawn anew has lost its open board, and the focus that was in it.
  document.addEventListener("focusin", (event) => {
    const field = event.target.closest("[data-use], .bc-use button");
    focused = field && { use: boardsName(field.closest(".bc-use")), name: field.dataset.use, value: field.type === "radio" ? field.value : null };
  });
  new MutationObserver(() => {
    const newest = expected && document.querySelector("#further .bc-photos > li:last-child");
    if (newest && newest.querySelector("[data-remove]").dataset.remove !== shown) {
      expected = false;
      newest.scrollIntoView({ block: "center" });
    }
    for (const use of uses()) {
      if (boardsName(use) === opened && use.querySelector(".bc-step")?.hidden) open(use, true);
      if (!focused?.name || document.activeElement !== document.body || boardsName(use) !== focused.use) continue;
      const radio = focused.value ? `[value="${focused.value}"]` : "";
      use.querySelector(`[data-use="${focused.name}"]${radio}`)?.focus();
    }
  }).observe(document.body, { childList: true, subtree: true });
}
