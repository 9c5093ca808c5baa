// Line numbers beside a text; lines with a problem are marked.
const boxes = [...document.querySelectorAll("[data-numbers]")].map((numbers) => {
  const text = document.getElementById(numbers.dataset.numbers);
  text.addEventListener("scroll", () => { numbers.scrollTop = text.scrollTop; });
  text.addEventListener("input", () => number(numbers, text));
  return [numbers, text];
});

function number(numbers, text, wrong = new Set()) {
  const lines = text.value.split("\n").length;
  numbers.replaceChildren();
  for (let n = 1; n <= lines; n += 1) {
    const mark = document.createElement(wrong.has(n) ? "b" : "span");
    mark.textContent = `${n}\n`;
    numbers.append(mark);
  }
  numbers.scrollTop = text.scrollTop;
}

function mark() {
  for (const [numbers, text] of boxes) {
    const told = [...document.querySelectorAll(`[data-problem="${text.name}"]`)];
    const wrong = new Set(told.map(({ dataset }) => Number(/^line (\d+)/.exec(dataset.place)?.[1])));
    number(numbers, text, wrong);
  }
}

document.addEventListener("htmx:afterSwap", mark);
mark();
