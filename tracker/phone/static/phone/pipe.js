// Tests on the pipe: put up, gauge photographed, read, taken down; all without signal.

import { app, both, enter, t } from "./app.js";
import { takePhotos } from "./camera.js";
import { button, choices, h, sheet } from "./dom.js";
import { tightEnd } from "./gas.js";
import { pipeTests } from "./view.js";
import { when } from "./when.js";

const SYSTEMS = ["dwv", "building_sewer", "shower_pan", "water_supply", "gas"];
const MEDIA = ["water", "air", "nitrogen"];
const MATERIALS = ["pvc", "abs", "cast_iron", "pex", "copper", "cpvc", "steel", "csst",
  "polyethylene"];
// What is usual, so that most tests need no choosing: common practice.
const USUAL = { dwv: ["water", "pvc"], building_sewer: ["water", "pvc"],
  shower_pan: ["water", "pvc"], water_supply: ["air", "pex"], gas: ["air", "steel"] };
const MARKS = { phone: "on_phone", sent: "sent", refused: "refused" };

const byHead = ({ system, medium }) => medium === "water" &&
  (system === "dwv" || system === "building_sewer");

/** The readings a test asks for at its start and at its end. */
function asked(test) {
  if (test.system === "shower_pan") return [["depth_in"], ["minutes"]];
  if (byHead(test)) return [["head_ft"], ["minutes", "end_head_ft"]];
  const gas = test.medium !== "water";
  return [
    ["start_psig", ...(gas ? ["start_f"] : []), "gauge_top_psi", "gauge_mark_psi",
      ...(test.system === "gas" || test.system === "water_supply" ? ["working_psig"] : [])],
    ["minutes", "end_psig", ...(gas ? ["end_f"] : [])],
  ];
}

export function pipeTestRows(lot, phase) {
  const tests = pipeTests(phase, app.box.entries, lot);
  return [
    tests.map((test) => testRow(lot, test)),
    button(t("put_up_test"), () => putUp(lot, phase), { kind: "act wide", "data-put-up": true }),
  ];
}

const act = (lot, test, what, more = {}) => ({ kind: "pipe_test", lot: lot.id,
  target: `test:${test.id}`, payload: { what, ...more } });

function testRow(lot, test) {
  return h("div", { class: "row", "data-test": test.id },
    h("strong", {}, ["system", "medium", "material"]
      .map((name) => t(`pipe_${test[name]}`)).join(" · ")),
    h("span", {}, figures(test.readings)),
    test.again ? h("span", { class: "state failed" }, t("no_longer_good")) : null,
    test.words ? h("span", { class: `state ${WORD[test.outcome]}` }, both(test.words))
      : h("span", { class: "quiet" }, t("not_judged")),
    h("span", { class: "quiet" }, [test.by, when(test.at)].filter(Boolean).join(" · ")),
    test.mark ? h("em", { class: `mark ${test.mark}` }, t(MARKS[test.mark])) : null,
    h("div", { class: "acts" },
      button([test.photo ? "✓ " : "", t("gauge_photo")], () => takePhotos((photo) => enter({
        ...act(lot, test, "photo", { sha: photo.sha256, taken_at: photo.takenAt }),
        sha256: photo.sha256 }, photo)), { kind: "act" }),
      button(t("read_test"), () => read(lot, test), { kind: "act" }),
      button(t("no_longer_good"), () => gone(lot, test), { kind: "act" }),
      button(t("take_down"), () => takeDown(lot, test), { kind: "act" })));
}

/** "20 psi, 60 °F → 19.3 psi, 50 °F · 15 min", as far as it was written down. */
function figures(readings) {
  const said = (names) => names.filter(([name]) => name in readings)
    .map(([name, unit]) => `${readings[name]} ${t(`unit_${unit}`)}`).join(", ");
  const start = said([["head_ft", "ft"], ["depth_in", "in"], ["start_psig", "psi"],
    ["start_f", "f"]]);
  const end = said([["end_head_ft", "ft"], ["end_psig", "psi"], ["end_f", "f"]]);
  return [[start, end].filter(Boolean).join(" → "), said([["minutes", "min"]])]
    .filter(Boolean).join(" · ");
}

const WORD = { pass: "proven", fail: "failed", confirm: "open" };

function putUp(lot, phase) {
  const test = { system: null, medium: null, material: null };
  sheet(t("put_up_test"), (close) => {
    const warning = h("p", { class: "verdict bad", role: "status" });
    const more = h("div");
    const pick = (name) => (code) => {
      test[name] = code;
      if (name === "system") [test.medium, test.material] = USUAL[code];
      show();
    };
    const group = (name, codes) => [h("h3", {}, t(`which_${name}`)),
      choices(t(`which_${name}`), codes.map((code) => [code, t(`pipe_${code}`)]),
        { chosen: test[name], pick: pick(name), name, folds: true })];
    let fields = [];
    const show = () => {
      if (test.system === null) return;
      fields = asked(test)[0].map((name) => number(name));
      more.replaceChildren(...group("medium", MEDIA), ...group("material", MATERIALS),
        test.medium === "water" ? "" : h("p", { class: "banner bad" }, t("stored_energy")),
        ...fields.map((one) => one.label));
    };
    return h("div", {}, ...group("system", SYSTEMS), more, warning,
      saveRow(close, warning, async () => {
        if (test.system === null) return t("which_system");
        const readings = valuesOf(fields);
        return readings === null ? t("not_a_number")
          : enter({ kind: "pipe_test", lot: lot.id, target: `phase:${phase.id}`,
            payload: { what: "up", ...test, readings } });
      }));
  });
}

function read(lot, test) {
  let leak = test.readings.leak_seen ?? null;
  const fields = asked(test)[1].map((name) => number(name, test.readings[name]));
  sheet(t("read_test"), (close) => {
    const warning = h("p", { class: "verdict bad", role: "status" });
    const hint = h("p", { class: "verdict" });
    const show = () => {
      const end = tightEnd({ ...test.readings, ...(valuesOf(fields) ?? {}) });
      hint.textContent = end === null || test.medium === "water" ? ""
        : t("temperature_alone", { psi: end.toFixed(1) });
    };
    fields.forEach((one) => one.input.addEventListener("input", show));
    return h("div", {}, fields.map((one) => one.label), hint,
      h("h3", {}, t("leak_seen")),
      choices(t("leak_seen"), [["no", t("leak_no")], ["yes", t("leak_yes")]],
        { chosen: leak === null ? null : leak ? "yes" : "no", name: "leak",
          pick: (code) => { leak = code === "yes"; } }),
      warning, saveRow(close, warning, async () => {
        const readings = valuesOf(fields);
        return readings === null ? t("not_a_number") : enter(act(lot, test, "read",
          { readings: leak === null ? readings : { ...readings, leak_seen: leak } }));
      }));
  });
}

function gone(lot, test) {
  sheet(t("no_longer_good"), (close) => h("div", { class: "acts" },
    ["lost_pressure", "disturbed"].map((what) => button(t(what), async () => {
      if (await enter(act(lot, test, what))) close();
    }, { kind: "act main" })), button(t("cancel"), close, { kind: "act" })));
}

function takeDown(lot, test) {
  const caps = number("caps", 0);
  sheet(t("take_down"), (close) => {
    const warning = h("p", { class: "verdict bad", role: "status" });
    return h("div", {}, caps.label, warning, saveRow(close, warning, async () => {
      const left = Number(caps.input.value || "0");
      return Number.isInteger(left) && left >= 0 && left <= 200
        ? enter(act(lot, test, "down", { caps: left })) : t("not_a_number");
    }));
  });
}

/** A field for a figure, with the phone's number keys. */
function number(name, value = null) {
  const input = h("input", { inputmode: "decimal", autocomplete: "off", name,
    maxlength: 8, value: value ?? "" });
  return { name, input, label: h("label", {}, t(`read_${name}`), input) };
}

/** What was keyed by name; null when one of them is no number. */
function valuesOf(fields) {
  const given = {};
  for (const { name, input } of fields) {
    const text = input.value.trim().replace(",", ".");
    if (text === "") continue;
    if (!Number.isFinite(Number(text))) return null;
    given[name] = Number(text);
  }
  return given;
}

/** Cancel and save; `work` answers true when kept, or the words of what is missing. */
function saveRow(close, warning, work) {
  return h("div", { class: "acts" }, button(t("cancel"), close, { kind: "act" }),
    button(t("save"), async () => {
      const outcome = await work();
      if (outcome === true) close();
      else if (outcome) warning.textContent = outcome;
    }, { kind: "act main", "data-save": true }));
}
