// The numeric pad: whole inches by digits, sixteenths by sixteen large keys; other
// units by digits alone. Out of tolerance it says by how much and asks why.

import { app, both, enter, t } from "./app.js";
import { button, h, sheet } from "./dom.js";
import { draftOf } from "./item.js";
import { reasonSheet } from "./reason.js";
import { inches, missesBy, sixteenthsOf } from "./tape.js";

/** A stored value of an item in words: sixteenths as a tape reads, others with unit. */
export function shown(value, item) {
  return item.unit === "in16" ? inches(value)
    : `${value} ${both(item.unit_words) || item.unit}`;
}

export function measureSheet(lot, item) {
  const tape = item.unit === "in16";
  const keyed = { whole: "", part: 0 };
  sheet(`${t("measure")}: ${both(item.text)}`, (close) => {
    const reading = h("output", { class: "reading", "aria-live": "polite" });
    const verdict = h("p", { class: "verdict", role: "status" });
    const extra = h("div", { class: "extra" });
    const value = () => (tape ? sixteenthsOf(keyed.whole, keyed.part)
      : keyed.whole === "" ? null : Number(keyed.whole));
    const show = () => {
      const now = value();
      reading.textContent = now === null ? "–" : shown(now, item);
      judge(item, now, verdict, extra);
    };
    const press = (digit) => {
      if (keyed.whole.length < 6) keyed.whole += digit;
      show();
    };
    const erase = () => { keyed.whole = keyed.whole.slice(0, -1); show(); };
    const save = () => keepReading({ lot, item, value: value(), extra, close, verdict });
    show();
    return h("div", {},
      h("p", { class: "target" },
        [both(item.target), both(item.tolerance)].filter(Boolean).join(" ")),
      reading, verdict, extra, digits(press, erase, tape),
      tape ? sixteenths(keyed, show) : null,
      h("div", { class: "acts" }, button(t("cancel"), close, { kind: "act" }),
        button(t("save"), save, { kind: "act main", "data-save": true })));
  });
}

function digits(press, erase, tape) {
  const keys = ["1", "2", "3", "4", "5", "6", "7", "8", "9", tape ? "" : ".", "0"];
  return h("div", { class: "digits", role: "group", "aria-label": t("whole_inches") },
    keys.map((key) => (key === "" ? h("span")
      : button(key, () => press(key), { kind: "key" }))),
    button("⌫", erase, { kind: "key", "aria-label": t("erase") }));
}

function sixteenths(keyed, show) {
  const keys = Array.from({ length: 16 }, (_, part) => part);
  const group = h("div", { class: "parts", role: "group", "aria-label": t("sixteenths") });
  group.append(...keys.map((part) => button(
    part === 0 ? "0" : inches(part).replace("\"", ""),
    (event) => {
      keyed.part = part;
      for (const one of group.children) one.removeAttribute("aria-pressed");
      event.currentTarget.setAttribute("aria-pressed", "true");
      show();
    }, { kind: "key part" })));
  return group;
}

function judge(item, value, verdict, extra) {
  const off = value === null ? 0 : missesBy(value, { low: item.least, high: item.most });
  verdict.className = `verdict ${off ? "bad" : "good"}`;
  verdict.textContent = value === null ? ""
    : off ? offWords(off, item) : t("in_tolerance");
  if (off && !extra.firstChild) {
    extra.append(h("label", {}, t("why_off"),
      h("textarea", { rows: 2, maxlength: 400, name: "reason" })));
  }
  if (!off) extra.replaceChildren();
}

/** By how much, and whether too little or too much. */
function offWords(off, item) {
  return t(off < 0 ? "too_little" : "too_much", { off: shown(Math.abs(off), item) });
}

/** Out of tolerance a reading needs a reason, or a correction that goes with it. */
async function keepReading({ lot, item, value, extra, close, verdict }) {
  if (value === null || Number.isNaN(value)) return;
  const off = missesBy(value, { low: item.least, high: item.most });
  const reason = extra.querySelector("textarea")?.value.trim() ?? "";
  const payload = { value, unit: item.unit };
  if (off && !reason) {
    verdict.textContent = t("reason_or_correction");
    if (!extra.querySelector(".correction")) {
      extra.append(button(t("send_correction"), () => withCorrection(), {
        kind: "act correction" }));
    }
    return;
  }
  if (await enter(draftOf(lot, item, "measure", reason ? { ...payload, reason } : payload))) {
    close();
  }

  function withCorrection() {
    const start = offWords(off, item);
    reasonSheet(t("correction"), async ({ owed_by, text }) => {
      const why = `${start}. ${text}`;
      await enter(draftOf(lot, item, "measure", { ...payload, reason: why }));
      await enter(draftOf(lot, item, "walk_correction", { owed_by, text: why }));
      close();
      app.draw();
    });
  }
}
