// Reasons without typing: whose it is, then a ready sentence or own words.

import { app, t } from "./app.js";
import { photoPart } from "./camera.js";
import { button, choices, h, sheet } from "./dom.js";
import { dropDraft, keepDraft } from "./draft.js";
import { LANGUAGES, say } from "./strings.js";

export const OWED = ["us", "builder", "framer", "concrete", "electrician", "hvac",
  "insulation", "drywall", "tile", "roofer", "cabinets", "utility"];
const READY = ["plate_proud", "drain_loose", "no_power", "no_pan", "not_ready",
  "in_the_way", "stud_moved", "off_target", "not_strapped", "plate_missing"];

/** Who may owe it, folded to the one chosen so that what follows is near the thumb. */
export const owedChoices = (chosen, pick) => choices(t("whose"),
  OWED.map((code) => [code, t(`owed_${code}`)]), { chosen, pick, name: "owed", folds: true });

/**
 * Ask whose it is and why; `done({ owed_by, text, text_es, photo })`.
 * With `draft` ({ what, ... }) a photo may go along, and a killed page comes back here.
 */
export function reasonSheet(title, done, { draft = null } = {}) {
  const state = { owedBy: draft?.owedBy ?? null, text: draft?.text ?? "",
    photo: draft?.photo ?? null };
  sheet(title, (close) => {
    const warning = h("p", { class: "verdict bad", role: "status" });
    const own = h("textarea", { rows: 2, maxlength: 400, "aria-label": t("own_words"),
      value: state.text, onchange: () => keep() });
    const keep = async () => {
      state.text = own.value;
      if (draft) await keepDraft({ ...draft, ...state });
    };
    const finish = (text, spanish = "") => {
      if (state.owedBy === null) warning.textContent = t("whose");
      else if (!text.trim()) warning.textContent = t("say_why");
      else {
        close();
        done({ owed_by: state.owedBy, text: text.trim(), text_es: spanish,
          photo: state.photo });
      }
    };
    const ready = READY.map((code) => button(t(`say_${code}`),
      () => (draft ? finish(...LANGUAGES.map((one) => say(`say_${code}`, one)))
        : finish(t(`say_${code}`))), { kind: "choice", "data-say": code }));
    return h("div", {},
      h("h3", {}, t("whose")),
      owedChoices(state.owedBy, (code) => { state.owedBy = code; keep(); }), warning,
      draft ? photoPart(state, keep) : null,
      h("h3", {}, t("what_is_wrong")), h("div", { class: "choices" }, ready),
      h("label", {}, t("own_words"), own),
      h("div", { class: "acts" }, button(t("cancel"), close, { kind: "act" }),
        button(t("save"), () => finish(own.value,
          draft && app.lang === "es" ? own.value.trim() : ""), { kind: "act main" })));
  }, { closed: () => draft && dropDraft() });
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
