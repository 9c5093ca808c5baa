// The outline as a table: its rows go back as one JSON field; mistakes stand at their row.
const field = document.querySelector("[data-rows]");
const form = field?.form;
const sections = [...document.querySelectorAll("[data-system]")];

function linesOf(section) {
  return [...section.querySelectorAll("tbody [data-line]")];
}

function valuesOf(line) {
  const cells = [...line.querySelectorAll("[data-col]")];
  return Object.fromEntries(cells.map((cell) => [cell.dataset.col, cell.value]));
}

// Number the rows, offer their names as parents, write the field.
function collect() {
  const rows = [];
  for (const section of sections) {
    const { system } = section.dataset;
    const names = document.getElementById(`nodes-${system}`);
    names?.replaceChildren();
    linesOf(section).forEach((line, at) => {
      line.dataset.place = `${system}, row ${at + 1}`;
      const values = valuesOf(line);
      rows.push({ system, ...values });
      if (values.node) names?.append(new Option("", values.node));
    });
  }
  field.value = JSON.stringify(rows);
}

function add(section, after) {
  const fresh = section.querySelector("template").content.firstElementChild.cloneNode(true);
  if (after) {
    for (const name of ["kind", "under", "floor", "room", "material"]) {
      const from = after.querySelector(`[data-col="${name}"]`);
      const to = fresh.querySelector(`[data-col="${name}"]`);
      if (from && to) to.value = from.value;
    }
    fresh.className = after.className.replace(" wrong", "");
    after.after(fresh);
  } else {
    section.querySelector("tbody").append(fresh);
  }
  changed(fresh);
  fresh.querySelector('[data-col="node"]').focus();
}

// The live check listens to the form's input events.
function changed() {
  collect();
  form.dispatchEvent(new Event("input", { bubbles: true }));
}

function onClick(event) {
  const section = event.target.closest("[data-system]");
  const line = event.target.closest("[data-line]");
  if (event.target.matches("[data-begin]")) add(section, linesOf(section).at(-1));
  if (event.target.matches("[data-below]")) add(section, line);
  if (event.target.matches("[data-drop]")) {
    const next = line.nextElementSibling ?? line.previousElementSibling;
    line.remove();
    changed();
    next?.querySelector("[data-drop]")?.focus();
  }
}

function onKey(event) {
  const line = event.target.closest("[data-line]");
  if (!line || !event.target.matches("input")) return;
  if (event.key === "Enter") {
    event.preventDefault();
    add(line.closest("[data-system]"), line);
  }
  const step = { ArrowUp: "previousElementSibling", ArrowDown: "nextElementSibling" }[event.key];
  if (!step || event.target.hasAttribute("list")) return;
  event.preventDefault();
  line[step]?.querySelector(`[data-col="${event.target.dataset.col}"]`)?.focus();
}

function mark() {
  const told = new Map();
  for (const problem of document.querySelectorAll('[data-problem="rows"]')) {
    const { place, message } = problem.dataset;
    told.set(place, [told.get(place), message].filter(Boolean).join(" "));
  }
  for (const line of document.querySelectorAll("[data-line]")) {
    const words = told.get(line.dataset.place) ?? "";
    line.classList.toggle("wrong", Boolean(words));
    line.querySelector("[data-told]").textContent = words;
  }
}

if (field) {
  form.addEventListener("input", (event) => { if (event.target !== form) collect(); });
  form.addEventListener("click", onClick);
  form.addEventListener("keydown", onKey);
  document.addEventListener("htmx:afterSwap", mark);
  collect();
}
