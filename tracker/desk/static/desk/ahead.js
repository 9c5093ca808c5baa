// The board: a strip tells about itself; in a draft it is moved by pointer, keys or
// buttons, and the judge on the server answers at once.
const board = document.querySelector("[data-board]");
const place = document.querySelector("[data-panel]");

function start(board) {
  const editable = "trial" in board.dataset;
  const first = 2 * Number(board.dataset.first);
  let held = null; // {strip, home, style, crew, half, asked}
  let told = null; // the strip that the panel speaks of
  let timer = 0;

  const lines = () => [...board.querySelectorAll("[data-line]")];
  const half = () => parseFloat(getComputedStyle(board.querySelector("time")).width) / 2;
  const show = async (asking, mine) => {
    const answer = await asking;
    if (!mine() || !answer.ok) return;
    place.innerHTML = await answer.text();
  };

  async function tell(strip) {
    told?.classList.remove("open");
    told = strip;
    strip.classList.add("open");
    const asked = new URLSearchParams({ lot: strip.dataset.lot, phase: strip.dataset.phase });
    await show(fetch(`${board.dataset.job}?${asked}`), () => told === strip && !held);
  }

  function close() {
    told?.classList.remove("open");
    told?.focus({ preventScroll: true });
    told = null;
    place.replaceChildren();
  }

  function lift(strip) {
    if (held?.strip === strip) return;
    putBack();
    held = {
      strip, home: strip.parentElement, style: strip.getAttribute("style"),
      crew: strip.dataset.crew, half: Number(strip.dataset.half),
    };
    strip.classList.add("lifted");
  }

  function putBack() {
    if (!held) return;
    const { strip, home, style } = held;
    strip.setAttribute("style", style);
    if (strip.parentElement !== home) home.append(strip);
    strip.classList.remove("lifted");
    held = null;
    clearTimeout(timer);
    place.replaceChildren();
  }

  function moved() {
    const { strip, crew } = held;
    const track = lines().find((one) => one.dataset.line === crew)?.querySelector(".track");
    if (track && strip.parentElement !== track) {
      track.append(strip);
      strip.focus({ preventScroll: true });
    }
    strip.style.setProperty("--a", 2 * (held.half - first));
    clearTimeout(timer);
    timer = setTimeout(ask, 120);
  }

  function step(strip, by) {
    lift(strip);
    held.half = Math.max(0, held.half + by);
    moved();
  }

  async function ask() {
    if (!held) return;
    const body = new URLSearchParams({
      lot: held.strip.dataset.lot, phase: held.strip.dataset.phase,
      crew: held.crew, half: held.half, revision: board.dataset.revision,
    });
    const token = JSON.parse(document.body.getAttribute("hx-headers"))["x-csrftoken"];
    const mine = (held.asked = Symbol("asked"));
    const headers = { "X-CSRFToken": token };
    await show(fetch(board.dataset.trial, { method: "POST", body, headers }), () => held?.asked === mine);
  }

  const pin = (strip) => {
    lift(strip);
    ask().then(() => place.querySelector("[data-pin]")?.click());
  };

  board.addEventListener("keydown", (event) => {
    const strip = event.target.closest(".strip");
    if (!strip || event.ctrlKey || event.metaKey || event.altKey) return;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (event.key === "Escape") {
      if (held) putBack();
      else close();
      strip.focus();
    } else if (!editable) {
      return;
    } else if (way) {
      event.preventDefault();
      lift(strip);
      held.half = Math.max(0, held.half + way[0]);
      const names = lines().map((one) => one.dataset.line);
      const next = names[names.indexOf(held.crew) + way[1]];
      if (way[1] && next !== undefined) held.crew = next;
      moved();
    } else if (event.key === "Enter" && held) {
      event.preventDefault();
      place.querySelector("[data-keep]")?.click();
    } else if (event.key === "p") {
      pin(strip);
    }
  });

  board.addEventListener("pointerdown", (event) => {
    const strip = event.target.closest(".strip");
    // A finger scrolls; it moves a strip that has been lifted before.
    const scrolls = event.pointerType === "touch" && held?.strip !== strip;
    if (!editable || !strip || event.button || scrolls) return;
    const begun = held?.strip === strip ? held.half : Number(strip.dataset.half);
    const from = { x: event.clientX, y: event.clientY };
    const follow = (move) => {
      if (!held && Math.hypot(move.clientX - from.x, move.clientY - from.y) < 6) return;
      lift(strip);
      const to = Math.max(0, begun + Math.round((move.clientX - from.x) / half()));
      const over = lines().find((one) => {
        const box = one.getBoundingClientRect();
        return move.clientY >= box.top && move.clientY < box.bottom;
      });
      const crew = over?.dataset.line ?? held.crew;
      if (to === held.half && crew === held.crew) return;
      held.half = to;
      held.crew = crew;
      moved();
    };
    const drop = () => {
      removeEventListener("pointermove", follow);
      removeEventListener("pointerup", drop);
      removeEventListener("pointercancel", drop);
    };
    addEventListener("pointermove", follow);
    addEventListener("pointerup", drop);
    addEventListener("pointercancel", drop);
  });

  board.addEventListener("click", (event) => {
    const strip = event.target.closest(".strip");
    if (strip && !held) tell(strip);
  });
  place.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (!button) return;
    if ("back" in button.dataset) putBack();
    else if ("close" in button.dataset) close();
    else if ("step" in button.dataset) step(held?.strip ?? told, Number(button.dataset.step));
    else if ("hold" in button.dataset) pin(told);
  });
  place.addEventListener("change", (event) => {
    if (!event.target.matches("[data-crew-choice]")) return;
    lift(told);
    held.crew = event.target.value;
    moved();
  });
}

if (board && place) start(board);
