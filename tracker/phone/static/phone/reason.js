// Reasons without typing: whose it is, then a ready sentence or own words.

import { t } from "./app.js";
import { button, h, sheet } from "./dom.js";

export const OWED = ["us", "builder", "framer", "concrete", "electrician", "hvac",
  "insulation", "drywall", "tile", "roofer", "cabinets", "utility"];
const READY = ["plate_proud", "drain_loose", "no_power", "no_pan", "not_ready",
  "in_the_way", "stud_moved", "off_target", "not_strapped", "plate_missing"];

/** Ask whose it is and why; `done({ owed_by, text })`. */
export function reasonSheet(title, done) {
  sheet(title, (close) => {
    let owedBy = null;
    const warning = h("p", { class: "verdict bad", role: "status" });
    const own = h("textarea", { rows: 2, maxlength: 400, "aria-label": t("own_words") });
    const owed = h("div", { class: "choices", role: "group", "aria-label": t("whose") });
    owed.append(...OWED.map((code) => button(t(`owed_${code}`), (event) => {
      owedBy = code;
      for (const one of owed.children) one.removeAttribute("aria-pressed");
      event.currentTarget.setAttribute("aria-pressed", "true");
    }, { kind: "choice", "data-owed": code })));
    const finish = (text) => {
      if (owedBy === null) warning.textContent = t("whose");
      else if (!text.trim()) warning.textContent = t("say_why");
      else {
        close();
        done({ owed_by: owedBy, text: text.trim() });
      }
    };
    return h("div", {},
      h("h3", {}, t("whose")), owed, warning, h("h3", {}, t("what_is_wrong")),
      h("div", { class: "choices" }, READY.map((code) =>
        button(t(`say_${code}`), () => finish(t(`say_${code}`)),
          { kind: "choice", "data-say": code }))),
      h("label", {}, t("own_words"), own),
      h("div", { class: "acts" }, button(t("cancel"), close, { kind: "act" }),
        button(t("save"), () => finish(own.value), { kind: "act main" })));
  });
}

/** Ask for a line of text; `done(text)`. */
export function textSheet(title, done) {
  sheet(title, (close) => {
    const text = h("textarea", { rows: 4, maxlength: 2000, "aria-label": title });
    const save = () => {
      if (!text.value.trim()) return;
      close();
      done(text.value.trim());
    };
    return h("div", {}, text, h("div", { class: "acts" },
      button(t("cancel"), close, { kind: "act" }),
      button(t("save"), save, { kind: "act main" })));
  });
}
