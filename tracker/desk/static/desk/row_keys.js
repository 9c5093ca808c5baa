// One key for each act of the row that has the focus: <… data-key="c"> is clicked by `c`.
const here = () => document.activeElement?.closest("[data-actions]");

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.closest("input, textarea, select, dialog")) return;
  const act = here()?.querySelector(`[data-key="${CSS.escape(event.key)}"]`);
  if (!act) return;
  event.preventDefault();
  act.click();
  const form = act.closest("details[open]")?.querySelector("input:not([type=hidden])");
  form?.focus();
});

async function copy(button, text) {
  await navigator.clipboard.writeText(text);
  button.dataset.copied = "yes";
  button.setAttribute("aria-live", "polite");
  const said = button.textContent;
  button.textContent = "✓";
  setTimeout(() => { button.textContent = said; }, 1200);
}
for (const button of document.querySelectorAll("[data-copy]")) {
  button.addEventListener("click", () => copy(button, button.dataset.copy));
}
const all = document.querySelector("[data-copy-all]");
all?.addEventListener("click", () => {
  const lines = [...document.querySelectorAll("[data-copy]")].map((b) => b.dataset.copy);
  copy(all, lines.join("\n"));
});
document.querySelector("[data-print]")?.addEventListener("click", () => print());
