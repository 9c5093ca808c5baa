// The phases we are on a lot for: work started, done, on test; results by the lead.

import { app, both, enter, person, t } from "./app.js";
import { button, h } from "./dom.js";
import { pipeTestRows } from "./pipe.js";
import { resultSheet } from "./result.js";
import { whereIs } from "./outbox.js";

const MARKS = { phone: "on_phone", sent: "sent" };

export function phaseRows(lot) {
  const lead = person()?.role === "lead";
  return lot.phases.filter((phase) => phase.ours).map((phase) => h("section",
    { class: "phase", "data-phase": phase.id },
    h("h2", {}, both(phase.name)), h("p", { class: "quiet" }, both(phase.words)),
    h("div", { class: "acts" },
      begun(phase) ? null : act(lot, phase, "started", t("work_started")),
      lead && !over(phase) ? act(lot, phase, "done", t("work_done")) : null,
      lead && phase.inspections.length ? result(lot, phase) : null),
    pipeTestRows(lot, phase)));
}

const begun = (phase) => !["not_ready", "ready", "planned"].includes(phase.work);
const over = (phase) => ["done", "proven"].includes(phase.work);

/** An act on a phase that is said once; what was said here shows where it is. */
function act(lot, phase, what, words) {
  const said = app.box.entries.find((one) => one.target === `phase:${phase.id}` &&
    one.kind === "work" && one.payload.what === what && one.state !== "refused");
  return button([said ? `✓ ${words} ` : words, said ? mark(said) : null],
    () => enter({ kind: "work", lot: lot.id, target: `phase:${phase.id}`,
      payload: { what } }), { kind: "act", disabled: Boolean(said) });
}

function result(lot, phase) {
  const own = app.box.entries.filter((one) => one.target === `phase:${phase.id}` &&
    one.kind === "inspection_result" && one.state === "waiting");
  return button([`${t("result_title")} `, own.length ? mark(own[0]) : null],
    () => resultSheet(lot, phase), { kind: "act", "data-result": phase.id });
}

function mark(entry) {
  const where = whereIs(entry);
  return h("em", { class: `mark ${where}` }, t(MARKS[where]));
}
