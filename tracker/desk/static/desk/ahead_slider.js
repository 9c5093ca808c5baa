// The slider says beside it what was worked out for its buffer; what nobody has asked
// for yet is asked for when the page is opened.
const slider = document.querySelector("input[name=buffer]");
const rows = [...document.querySelectorAll("[data-level]")];
const said = document.querySelector("[data-level-said]");

function show() {
  const value = Number(slider.value);
  const far = (row) => Math.abs(Number(row.dataset.level) - value);
  const near = rows.reduce((best, row) => (far(row) < far(best) ? row : best), rows[0]);
  for (const row of rows) row.classList.toggle("near", row === near);
  const heads = [...near.closest("table").querySelectorAll("thead th")].map((th) => th.textContent);
  said.textContent = [...near.children].map((cell, n) => `${heads[n]}: ${cell.textContent}`).join(" · ");
}

document.querySelector("form[data-begin]")?.requestSubmit();

if (slider && rows.length) {
  slider.addEventListener("input", show);
  show();
}
