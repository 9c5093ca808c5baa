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
export function sheet(title, build) {
  const dialog = h("dialog", { class: "sheet", "aria-label": title });
  const close = () => { dialog.close(); dialog.remove(); };
  dialog.addEventListener("cancel", () => dialog.remove());
  dialog.append(h("h2", {}, title), build(close));
  document.body.append(dialog);
  dialog.showModal();
  return close;
}
