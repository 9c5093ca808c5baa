// What is folded away on the screen stands open on paper, and folds again after.
const folded = () => [...document.querySelectorAll("details[data-on-paper]:not([open])")];
let opened = [];

addEventListener("beforeprint", () => {
  opened = folded();
  for (const part of opened) part.open = true;
});
addEventListener("afterprint", () => {
  for (const part of opened) part.open = false;
  opened = [];
});

// A link to a cell opens the list that holds it.
function openFor(hash) {
  const cell = hash.length > 1 && document.getElementById(hash.slice(1));
  const part = cell && cell.closest("details");
  if (!part || part.open) return;
  part.open = true;
  cell.scrollIntoView();
}
addEventListener("hashchange", () => openFor(location.hash));
openFor(location.hash);
