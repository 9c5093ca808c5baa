import assert from "node:assert/strict";
import { webcrypto } from "node:crypto";
import { test } from "node:test";

import { LANGUAGES, say, STRINGS } from "../../../tracker/phone/static/phone/strings.js";
import { tightEnd } from "../../../tracker/phone/static/phone/gas.js";
import { inches, missesBy, sixteenthsOf } from "../../../tracker/phone/static/phone/tape.js";
import { sha256, uuid7 } from "../../../tracker/phone/static/phone/uuid.js";
import { itemView, pipeTests, undoable, wantedFiles } from "../../../tracker/phone/static/phone/view.js";

globalThis.crypto ??= webcrypto; // Node 18 keeps it apart

test("sixteenths read as a tape does", () => {
  assert.deepEqual([0, 1, 8, 16, 200, 1292, -20].map(inches),
    ["0\"", "1/16\"", "1/2\"", "1\"", "12 1/2\"", "80 3/4\"", "-1 1/4\""]);
});

test("what is keyed on the pad becomes sixteenths, or nothing", () => {
  assert.deepEqual([["80", 12], ["", 8], ["", 0], ["0", 0], ["12345", 0], ["1a", 0], ["1", 16]]
    .map(([whole, part]) => sixteenthsOf(whole, part)),
  [1292, 8, null, 0, null, null, null]);
});

test("a reading inside its limits misses by nothing", () => {
  const limits = { low: 1276, high: 1308 };
  assert.deepEqual([1276, 1308, 1275, 1310].map((one) => missesBy(one, limits)), [0, 0, -1, 2]);
  assert.equal(missesBy(5, { low: null, high: undefined }), 0);
});

test("a UUID of version 7 sorts by its time (RFC 9562, section 5.7)", () => {
  // The example of RFC 9562, appendix A.6: 2022-02-22 19:22:22 UTC.
  const given = [0, 0, 0, 0, 0, 0, 0xcc, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f];
  const made = uuid7(0x017f22e279b0, () => Uint8Array.from(given));
  assert.equal(made, "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  const random = () => new Uint8Array(16);
  assert.ok(uuid7(1000, random) < uuid7(1001, random));
});

test("SHA-256 of abc is the published one (FIPS 180-4 example)", async () => {
  assert.equal(await sha256(new TextEncoder().encode("abc").buffer),
    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
});

test("every word has both languages, with the same places to fill", () => {
  for (const [key, pair] of Object.entries(STRINGS)) {
    assert.equal(pair.length, LANGUAGES.length, key);
    const places = pair.map((text) => (text.match(/\{\w+\}/g) ?? []).sort());
    assert.ok(pair.every((text) => text.trim()), key);
    assert.deepEqual(places[0], places[1], key);
  }
  assert.equal(say("measured", "es", { value: "3 psi" }), "Medido 3 psi");
});

const item = (row = {}) => ({ id: 3, state: "open", answers: [], photos: [], ...row });
const entry = (row) => ({ lot: 1, target: "item:3", member: "7", state: "waiting",
  payload: {}, ...row });

test("an own entry shows beside the server's word and never as more than it is", () => {
  const tick = entry({ id: "a", kind: "tick" });
  const look = (state) => {
    const seen = itemView(item(), [{ ...tick, state }], 1);
    return [seen.state, seen.local?.id ?? null, seen.mark];
  };
  assert.deepEqual(["waiting", "sent", "refused"].map(look),
    [["open", "a", "phone"], ["open", "a", "sent"], ["open", null, "refused"]]);
});

test("once the server's copy has the entry, only that is shown", () => {
  const known = item({ state: "proven", answers: [{ op: "a", answer: "tick", mine: true }] });
  const seen = itemView(known, [entry({ id: "a", kind: "tick", state: "sent" })], 1);
  assert.deepEqual([seen.state, seen.local, seen.mark], ["proven", null, null]);
});

test("an entry taken back on this phone is no longer shown as done", () => {
  const entries = [entry({ id: "a", kind: "tick" }),
    entry({ id: "b", kind: "undo", payload: { of: "a" } })];
  assert.equal(itemView(item(), entries, 1).local, null);
  assert.equal(undoable(item(), entries, 1, "7"), null);
});

test("undo takes back the latest own answer, here or on the server, and nobody else's", () => {
  const known = item({ answers: [{ op: "x", answer: "tick", mine: true },
    { op: "y", answer: "tick", mine: false }] });
  assert.equal(undoable(known, [], 1, "7"), "x");
  assert.equal(undoable(known, [entry({ id: "a", kind: "note" })], 1, "7"), "a");
  assert.equal(undoable(known, [entry({ id: "u", kind: "undo", payload: { of: "x" } })], 1, "7"),
    null);
});

test("sheets and thumbnails are what a phone has to hold", () => {
  const lot = { sheets: [{ url: "sheets/1/" }],
    rooms: [{ items: [{ thumbnails: ["photos/a/thumbnail/"] }, {}] }] };
  assert.deepEqual(wantedFiles([lot, lot]), ["sheets/1/", "photos/a/thumbnail/"]);
});

test("only what answers an item makes it done: a note or a correction does not", () => {
  const look = (kind) => itemView(item(), [entry({ id: "a", kind })], 1).answered;
  assert.deepEqual(["tick", "photo", "not_done", "note", "walk_good", "walk_correction"]
    .map(look), [true, true, true, false, false, false]);
});

test("temperature alone moves a shut-in gas as the ideal gas law says", () => {
  // Absolute pressures go as absolute temperatures: (20 + 14.696) * 509.67 / 519.67 - 14.696.
  const end = tightEnd({ start_psig: 20, start_f: 60, end_f: 50 });
  assert.equal(end.toFixed(3), "19.332");
  assert.equal(tightEnd({ start_psig: 20, start_f: 60 }), null);
  assert.equal(tightEnd({ start_psig: 20, start_f: 60, end_f: 60 }).toFixed(9), "20.000000000");
});

const up = (row) => entry({ id: "u", kind: "pipe_test", target: "phase:9",
  payload: { what: "up", system: "gas", medium: "air", material: "steel",
    readings: { start_psig: 20 } }, at: "2026-03-04T15:00:00.000Z", ...row });
const said = (what, row = {}) => entry({ id: what, kind: "pipe_test", target: "test:u",
  payload: { what, ...row } });
const phase = { id: 9, tests: [] };

test("a test put up here is shown with what was said of it, and is gone when down", () => {
  const read = said("read", { readings: { end_psig: 19 } });
  const [shown] = pipeTests(phase, [up(), read, said("photo")], { id: 1 });
  assert.deepEqual([shown.readings, shown.photo, shown.words, shown.mark],
    [{ start_psig: 20, end_psig: 19 }, true, null, "phone"]);
  assert.deepEqual(pipeTests(phase, [up(), said("down")], { id: 1 }), []);
  assert.deepEqual(pipeTests(phase, [up({ state: "refused" })], { id: 1 }), []);
});

test("what the server's copy was fetched after is the server's to show", () => {
  const sent = up({ state: "sent", settledAt: 100 });
  assert.equal(pipeTests(phase, [sent], { id: 1, got: 50 }).length, 1);
  assert.equal(pipeTests(phase, [sent], { id: 1, got: 150 }).length, 0);
  const known = { id: 9, tests: [{ id: "u", readings: {}, words: { en: "ok" }, photo: true }] };
  assert.deepEqual(pipeTests(known, [sent], { id: 1, got: 150 }).map((one) => one.words),
    [{ en: "ok" }]);
});
