// The lead enters what the inspector said, on the lot.

import { both, enter, t } from "./app.js";
import { button, h, sheet } from "./dom.js";

export function resultSheet(lot, phase) {
  sheet(t("result_title"), (close) => {
    let kind = phase.inspections.length === 1 ? phase.inspections[0].code : null;
    const warning = h("p", { class: "verdict bad", role: "status" });
    const found = h("textarea", { rows: 3, maxlength: 2000,
      "aria-label": t("what_wrong") });
    const kinds = h("div", { class: "choices", role: "group",
      "aria-label": t("which_kind") });
    kinds.append(...phase.inspections.map((one) => button(both(one.name), (event) => {
      kind = one.code;
      for (const other of kinds.children) other.removeAttribute("aria-pressed");
      event.currentTarget.setAttribute("aria-pressed", "true");
    }, { kind: "choice", "aria-pressed": one.code === kind ? "true" : null })));
    const say = async (result) => {
      const text = found.value.trim();
      if (kind === null) warning.textContent = t("which_kind");
      else if (result === "failed" && !text) warning.textContent = t("what_wrong");
      else if (await enter({
        kind: "inspection_result", lot: lot.id, target: `phase:${phase.id}`,
        payload: { inspection: kind, result, corrections: text ? text.split("\n") : [] },
      })) close();
    };
    return h("div", {}, h("h3", {}, t("which_kind")), kinds, warning,
      h("label", {}, t("what_wrong"), found),
      h("div", { class: "acts" },
        button(t("result_passed"), () => say("passed"), { kind: "act main" }),
        button(t("result_failed"), () => say("failed"), { kind: "act" }),
        button(t("cancel"), close, { kind: "act" })));
  });
}
