// The lead enters what the inspector said, on the lot, with a photo of what he found.

import { both, lotName, t } from "./app.js";
import { photoPart } from "./camera.js";
import { enterWith } from "./correction.js";
import { button, choices, h, sheet } from "./dom.js";
import { dropDraft, keepDraft } from "./draft.js";
import { owedChoices } from "./reason.js";

const RESULTS = ["passed", "partly_passed", "failed", "not_ready", "no_access",
  "not_on_test"];
const FOUND = ["failed", "partly_passed"];
const UNSEEN = ["not_ready", "no_access", "not_on_test"];

/** `draft` is what stood here when the phone killed the page. */
export function resultSheet(lot, phase, draft = {}) {
  const kinds = phase.inspections;
  const state = { kind: kinds.length === 1 ? kinds[0].code : null, result: null,
    text: "", owedBy: null, parts: [], photo: null, ...draft,
    what: "inspection_result", lot: lot.id, phase: phase.id };
  const keep = () => keepDraft({ ...state });
  sheet(`${t("result_title")}: ${lotName(lot)}`, (close) => {
    const warning = h("p", { class: "verdict bad", role: "status" });
    const more = h("div");
    const show = () => more.replaceChildren(...moreOf(state, kinds, keep));
    show();
    return h("div", {}, h("h3", {}, t("which_kind")),
      choices(t("which_kind"), kinds.map((one) => [one.code, both(one.name)]),
        { chosen: state.kind, folds: kinds.length > 1, name: "kind",
          pick: (code) => { state.kind = code; keep(); show(); } }),
      h("h3", {}, t("what_said")),
      choices(t("what_said"), RESULTS.map((one) => [one, t(`result_${one}`)]),
        { chosen: state.result, folds: true, name: "result",
          pick: (code) => { state.result = code; keep(); show(); } }),
      more, warning,
      h("div", { class: "acts" },
        button(t("cancel"), close, { kind: "act" }),
        button(t("save"), async () => {
          const missing = missingOf(state);
          warning.textContent = missing ? t(missing) : "";
          if (!missing && await save(state)) close();
        }, { kind: "act main", "data-save": true })));
  }, { closed: dropDraft });
}

/** What a result asks for besides: what was found, what passed, or whose fault it was. */
function moreOf(state, kinds, keep) {
  if (UNSEEN.includes(state.result)) {
    return [h("h3", {}, t("whose_fault")),
      owedChoices(state.owedBy, (code) => { state.owedBy = code; keep(); })];
  }
  if (!FOUND.includes(state.result)) return [];
  const found = h("textarea", { rows: 3, maxlength: 2000, value: state.text,
    "aria-label": t("what_wrong"), onchange: keep,
    oninput: () => { state.text = found.value; } });
  const systems = kinds.find((one) => one.code === state.kind)?.systems ?? [];
  return [
    state.result === "partly_passed" && systems.length ? h("h3", {}, t("which_passed")) : "",
    state.result === "partly_passed" ? partButtons(state, systems, keep) : "",
    h("label", {}, t("what_wrong"), found), photoPart(state, keep),
  ];
}

function partButtons(state, systems, keep) {
  return h("div", { class: "choices", role: "group", "aria-label": t("which_passed") },
    systems.map((one) => button(t(`on_test_${one}`), (event) => {
      const part = `system:${one}`;
      const on = !state.parts.includes(part);
      state.parts = on ? [...state.parts, part] : state.parts.filter((old) => old !== part);
      event.currentTarget.setAttribute("aria-pressed", String(on));
      keep();
    }, { kind: "choice", "aria-pressed": String(state.parts.includes(`system:${one}`)) })));
}

function missingOf({ kind, result, text, owedBy }) {
  if (kind === null) return "which_kind";
  if (result === null) return "what_said";
  if (result === "failed" && !text.trim()) return "what_wrong";
  return UNSEEN.includes(result) && owedBy === null ? "whose_fault" : null;
}

function save({ lot, phase, kind, result, text, owedBy, parts, photo }) {
  const found = FOUND.includes(result);
  const payload = { inspection: kind, result,
    corrections: found ? text.split("\n").filter((line) => line.trim()) : [],
    ...(UNSEEN.includes(result) ? { fault_of: owedBy } : {}),
    ...(result === "partly_passed" ? { passed_parts: parts } : {}) };
  // A photo goes with what was found; without a finding it would be of nothing.
  return enterWith(payload.corrections.length ? photo : null,
    { kind: "inspection_result", lot, target: `phase:${phase}`, payload });
}
