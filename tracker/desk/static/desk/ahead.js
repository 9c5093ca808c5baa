// Moving a strip of a draft by pointer or keys; the judge on the server answers at once.
const board = document.querySelector("[data-board][data-trial]");
const place = document.querySelector("[data-verdict]");

function start(board) {
  const first = 2 * Number(board.dataset.first);
  let held = null; // {strip, home, crew, half, asked}
  let timer = 0;

  const lines = () => [...board.querySelectorAll("[data-line]")];
  const half = () => 2 * parseFloat(getComputedStyle(board.querySelector("time")).width) / 4;

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

  function show() {
    const { strip, crew } = held;
    const line = lines().find((one) => one.dataset.line === crew);
    const track = line?.querySelector(".track");
    if (track && strip.parentElement !== track) {
      track.append(strip);
      strip.focus({ preventScroll: true });
    }
    strip.style.setProperty("--a", 2 * (held.half - first));
    clearTimeout(timer);
    timer = setTimeout(ask, 120);
  }

  async function ask() {
    if (!held) return;
    const body = new URLSearchParams({
      lot: held.strip.dataset.lot, phase: held.strip.dataset.phase,
      crew: held.crew, half: held.half, revision: board.dataset.revision,
    });
    const token = JSON.parse(document.body.getAttribute("hx-headers"))["x-csrftoken"];
    const mine = (held.asked = Symbol("asked"));
    const answer = await fetch(board.dataset.trial, {
      method: "POST", body, headers: { "X-CSRFToken": token },
    });
    if (held?.asked !== mine || !answer.ok) return;
    place.innerHTML = await answer.text();
  }

  board.addEventListener("keydown", (event) => {
    const strip = event.target.closest(".strip");
    if (!strip || event.ctrlKey || event.metaKey || event.altKey) return;
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (step) {
      event.preventDefault();
      lift(strip);
      held.half = Math.max(0, held.half + step[0]);
      const names = lines().map((one) => one.dataset.line);
      const here = names.indexOf(held.crew) + step[1];
      if (step[1] && names[here] !== undefined) held.crew = names[here];
      show();
    } else if (event.key === "Escape") {
      putBack();
      strip.focus();
    } else if (event.key === "Enter" && held) {
      event.preventDefault();
      place.querySelector("[data-keep]")?.click();
    } else if (event.key === "p") {
      lift(strip);
      ask().then(() => place.querySelector("[data-pin]")?.click());
    }
  });

  board.addEventListener("pointerdown", (event) => {
    const strip = event.target.closest(".strip");
    if (!strip || event.button) return;
    const from = { x: event.clientX, y: event.clientY, half: Number(strip.dataset.half) };
    const follow = (move) => {
      if (!held && Math.hypot(move.clientX - from.x, move.clientY - from.y) < 6) return;
      lift(strip);
      const to = Math.max(0, from.half + Math.round((move.clientX - from.x) / half()));
      const over = lines().find((one) => {
        const box = one.getBoundingClientRect();
        return move.clientY >= box.top && move.clientY < box.bottom;
      });
      const crew = over?.dataset.line ?? held.crew;
      if (to === held.half && crew === held.crew) return;
      held.half = to;
      held.crew = crew;
      show();
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
    if (!strip || held) return;
    lift(strip);
    ask();
  });
  place.addEventListener("click", (event) => {
    if (event.target.closest("[data-back]")) putBack();
  });
}

if (board && place) start(board);
