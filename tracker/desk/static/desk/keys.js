// `/` goes to the search field, `?` opens the help on keys.
const typing = (target) => target.closest("input, textarea, select, [contenteditable]");

function openHelp() {
  document.querySelector("dialog[data-keys]")?.showModal();
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || typing(event.target)) return;
  if (event.key === "?") openHelp();
  if (event.key !== "/") return;
  const search = document.querySelector("[data-search]");
  if (!search) return;
  event.preventDefault();
  search.focus();
  search.select();
});
for (const button of document.querySelectorAll("[data-keys-open]")) {
  button.addEventListener("click", openHelp);
}
