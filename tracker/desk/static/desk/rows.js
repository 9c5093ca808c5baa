// j and k walk the rows of a list; Enter opens the row, since its link has the focus.
const links = () => [...document.querySelectorAll("[data-rows] [data-row]")];

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.closest("input, textarea, select, dialog")) return;
  const step = { j: 1, k: -1 }[event.key];
  if (!step) return;
  const all = links().filter((link) => link.offsetParent !== null);
  if (!all.length) return;
  const here = all.indexOf(document.activeElement);
  const next = here < 0 ? (step > 0 ? 0 : all.length - 1) : here + step;
  all[Math.min(Math.max(next, 0), all.length - 1)].focus();
});
