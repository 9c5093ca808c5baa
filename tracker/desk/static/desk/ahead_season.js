// What lies under the pointer is said above the picture, and its lot's row is marked.
const picture = document.querySelector("[data-picture]");
const said = document.querySelector("[data-readout]");

function show(event) {
  const mark = event.target.closest("[data-lot]");
  for (const row of document.querySelectorAll("tr.near")) row.classList.remove("near");
  said.textContent = mark?.querySelector("title")?.textContent ?? "";
  if (mark) document.querySelector(`tr[data-lot="${mark.dataset.lot}"]`)?.classList.add("near");
}

if (picture && said) {
  picture.addEventListener("pointerover", show);
  picture.addEventListener("pointerleave", show);
}
