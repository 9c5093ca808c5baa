// Small builder of page elements. Text is always set as text, never as markup.

export function h(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "value") element.value = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat(Infinity).filter((one) => one !== null && one !== false
    && one !== undefined));
  return element;
}

/** A large button; `kind` is a class of the style sheet. */
export function button(words, onclick, { kind = "", ...more } = {}) {
  return h("button", { type: "button", class: kind, onclick, ...more }, words);
}

/** Put a question in front of everything; closes on cancel or when `close` is called. */
export function sheet(title, build, { closed = () => {} } = {}) {
  const dialog = h("dialog", { class: "sheet", "aria-label": title });
  const close = () => { dialog.close(); dialog.remove(); closed(); };
  dialog.addEventListener("cancel", () => { dialog.remove(); closed(); });
  dialog.append(h("h2", {}, title), build(close));
  document.body.append(dialog);
  dialog.showModal();
  return close;
}

/**
 * Large buttons of which one is chosen; `pick(code)`. With `folds` the others are put
 * away once one is chosen, and come back when it is touched again.
 */
export function choices(label, pairs, { chosen = null, pick, name = "choice", folds = false }) {
  const group = h("div", { class: "choices", role: "group", "aria-label": label });
  let now = chosen;
  let folded = folds && chosen !== null;
  const show = () => {
    for (const one of group.children) {
      const mine = one.dataset.code === now;
      one.setAttribute("aria-pressed", String(mine));
      one.hidden = folded && !mine;
    }
  };
  group.append(...pairs.map(([code, words]) => button(words, () => {
    folded = folds && !(folded && code === now);
    now = code;
    show();
    pick(code);
  }, { kind: "choice", "data-code": code, [`data-${name}`]: code })));
  show();
  return group;
}
