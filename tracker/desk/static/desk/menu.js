// The bar is always open where there is room, and folds to a menu on a phone.
const wide = matchMedia("(min-width: 900px)");

function fit() {
  for (const menu of document.querySelectorAll("[data-menu]")) menu.open = wide.matches;
}

wide.addEventListener("change", fit);
fit();
