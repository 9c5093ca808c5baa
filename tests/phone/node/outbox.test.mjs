import assert from "node:assert/strict";
import { test } from "node:test";

import * as outbox from "../../../tracker/phone/static/phone/outbox.js";

const NOW = Date.UTC(2026, 2, 4, 15);
const DICE = { now: NOW, random: 0.5 };
const SHA = "ab".repeat(32);

function boxWith(...drafts) {
  let box = outbox.emptyBox();
  box.meta = { ...box.meta, people: { 7: { id: "7", token: "t" } }, current: "7" };
  drafts.forEach((draft, n) => {
    const { entry, meta } = outbox.makeEntry(box, { lot: 1, target: "item:1", ...draft },
      { id: `op-${n}`, now: NOW });
    box = { ...box, meta, entries: [...box.entries, entry] };
  });
  return box;
}

const photo = (row = {}) => ({ sha256: SHA, size: 600_000, type: "image/jpeg", takenAt: null,
  offset: 0, asked: false, state: "waiting", ...row });

function after(box, changes) {
  const put = (rows, key, fresh) => rows.map((row) =>
    fresh.find((one) => one[key] === row[key]) ?? row);
  return { meta: changes.meta, entries: put(box.entries, "seq", changes.entries),
    photos: put(box.photos, "sha256", changes.photos) };
}

const receipts = (...list) => ({ status: 200,
  body: { from: "plumbrow", epoch: "e1", receipts: list } });
const states = (box) => box.entries.map((entry) => entry.state);

test("entries are numbered without gaps and follow each other on one item", () => {
  const box = boxWith({ kind: "tick" }, { kind: "note" }, { kind: "tick", target: "item:2" },
    { kind: "measure" }, { kind: "undo", payload: { of: "op-0" } });

  assert.deepEqual(box.entries.map((entry) => [entry.seq, entry.after]),
    [[1, null], [2, null], [3, null], [4, "op-0"], [5, "op-3"]]);
});

test("nobody signed in means nothing is entered", () => {
  assert.throws(() => outbox.makeEntry(outbox.emptyBox(), { kind: "tick" },
    { id: "x", now: NOW }), /Nobody is signed in/);
});

test("an entry leaves the waiting state only by a receipt that names it", () => {
  const box = boxWith({ kind: "tick" }, { kind: "tick", target: "item:2" });
  const request = outbox.nextRequest(box, NOW);

  const moved = after(box, outbox.settle(box, request,
    receipts({ id: "op-0", result: "applied" }, { id: "other", result: "applied" }), DICE));

  assert.deepEqual(states(moved), ["sent", "waiting"]);
});

for (const [name, reply] of Object.entries({
  "a page of a hotspot": { status: 200, body: null },
  "JSON of somebody else": { status: 200, body: { receipts: [{ id: "op-0", result: "applied" }] } },
  "a fault": { status: 500, body: null },
  "no receipts": { status: 200, body: { from: "plumbrow" } },
  "a list": { status: 200, body: [] },
})) {
  test(`${name} moves nothing and is waited out`, () => {
    const box = boxWith({ kind: "tick" });
    const moved = after(box, outbox.settle(box, outbox.nextRequest(box, NOW), reply, DICE));

    assert.deepEqual(states(moved), ["waiting"]);
    assert.equal(moved.meta.fails, 1);
    assert.equal(outbox.nextRequest(moved, NOW), null);
    assert.equal(outbox.nextRequest(moved, NOW + outbox.LONGEST_WAIT).kind, "operations");
  });
}

test("pauses grow with each failure up to 20 s, and differ by chance", () => {
  const box = boxWith({ kind: "tick" });
  const pause = (fails, random) =>
    outbox.backOff({ ...box, meta: { ...box.meta, fails } }, { now: 0, random }).meta.waitUntil;

  assert.deepEqual([0, 1, 2, 3, 4, 50].map((fails) => pause(fails, 1)),
    [2000, 4000, 8000, 16_000, 20_000, 20_000]);
  assert.equal(pause(50, 0), 10_000);
});

test("a clock that was put back does not stop the sending", () => {
  const box = boxWith({ kind: "tick" });
  box.meta.waitUntil = NOW + 3 * 24 * 3600_000;

  assert.equal(outbox.nextRequest(box, NOW).kind, "operations");
});

test("a photo goes up first, in chunks from where the server is, then its entry", () => {
  let box = boxWith({ kind: "photo", sha256: SHA });
  box.photos = [photo()];
  const step = (body, status = 200) => {
    const request = outbox.nextRequest(box, NOW);
    box = after(box, outbox.settle(box, request,
      { status, body: { from: "plumbrow", sha256: SHA, ...body } }, DICE));
    return [request.kind, request.offset, request.size];
  };

  assert.deepEqual(step({ state: "open", offset: 0 }), ["offset", undefined, undefined]);
  assert.deepEqual(step({ state: "open", offset: 262_144 }), ["chunk", 0, 262_144]);
  assert.deepEqual(step({ state: "open", offset: 524_288 }), ["chunk", 262_144, 262_144]);
  assert.deepEqual(step({ state: "there" }), ["chunk", 524_288, 75_712]);
  assert.equal(outbox.nextRequest(box, NOW).kind, "operations");
});

test("an answer about another photo counts for nothing", () => {
  const box = boxWith({ kind: "photo", sha256: SHA });
  box.photos = [photo()];
  const moved = outbox.settle(box, outbox.nextRequest(box, NOW), { status: 200,
    body: { from: "plumbrow", sha256: "cd".repeat(32), state: "there" } }, DICE);

  assert.deepEqual([moved.photos, moved.meta.fails], [[], 1]);
});

test("a photo counts as sent only by a receipt with its own hash", () => {
  const box = boxWith({ kind: "photo", sha256: SHA });
  box.photos = [photo({ state: "there" })];
  const settle = (sha256) => states(after(box, outbox.settle(box,
    outbox.nextRequest(box, NOW), receipts({ id: "op-0", result: "applied", sha256 }), DICE)));

  assert.deepEqual([settle("cd".repeat(32)), settle(""), settle(SHA)],
    [["waiting"], ["waiting"], ["sent"]]);
});

test("a photo that the server lacks is offered again from its first byte", () => {
  const box = boxWith({ kind: "photo", sha256: SHA });
  box.photos = [photo({ state: "there", offset: 600_000, asked: true })];
  const moved = after(box, outbox.settle(box, outbox.nextRequest(box, NOW),
    receipts({ id: "op-0", result: "later", code: "photo_missing" }), DICE));

  assert.deepEqual([moved.photos[0].state, moved.photos[0].offset], ["waiting", 0]);
  assert.deepEqual(states(moved), ["waiting"]);
});

test("a batch the server cannot read is halved until the bad one is alone", () => {
  let box = boxWith(...Array.from({ length: 4 }, () => ({ kind: "note" })));
  const bad = { status: 400, body: { from: "plumbrow", code: "bad_request", en: "no", es: "no" } };
  const sizes = [];
  for (let n = 0; n < 3; n += 1) {
    const request = outbox.nextRequest(box, NOW);
    sizes.push(request.ops.length);
    box = after(box, outbox.settle(box, request, bad, DICE));
  }

  assert.deepEqual(sizes, [4, 2, 1]);
  assert.deepEqual(states(box), ["refused", "waiting", "waiting", "waiting"]);
});

test("work goes under the token of the person who entered it, or waits sealed", () => {
  let box = boxWith({ kind: "tick" });
  box = { ...box, meta: { ...box.meta, people: { 8: { id: "8", token: "u" } }, current: "8" } };
  assert.equal(outbox.nextRequest(box, NOW), null);
  assert.deepEqual(outbox.counts(box, "8"), { waiting: 0, refused: 0, sealed: 1 });

  box.meta.people[7] = { id: "7", token: "t" };
  const request = outbox.nextRequest(box, NOW);
  assert.deepEqual([request.member, request.ops[0].member], ["7", "7"]);
});

test("without a valid token everything is kept and the page says whose it is", () => {
  const box = boxWith({ kind: "tick" });
  const moved = after(box, outbox.settle(box, outbox.nextRequest(box, NOW),
    { status: 401, body: { from: "plumbrow", code: "sign_in" } }, DICE));

  assert.deepEqual([states(moved), moved.meta.signIn], [["waiting"], ["7"]]);
});

test("a restored server is offered again what was sent, and nothing is dropped", () => {
  let box = boxWith({ kind: "tick" }, { kind: "tick", target: "item:2" });
  box.meta.epoch = "e0";
  box.entries[0] = { ...box.entries[0], state: "sent", settledAt: NOW };
  box = after(box, outbox.settle(box, outbox.nextRequest(box, NOW),
    receipts({ id: "op-1", result: "applied" }), DICE));

  assert.deepEqual([box.meta.epoch, states(box)], ["e1", ["waiting", "sent"]]);
});

test("a receipt that waits for something else leaves the entry and pauses", () => {
  const box = boxWith({ kind: "tick" });
  const moved = after(box, outbox.settle(box, outbox.nextRequest(box, NOW),
    receipts({ id: "op-0", result: "later", code: "waits_for" }), DICE));

  assert.deepEqual([states(moved), moved.meta.fails], [["waiting"], 1]);
});

test("an entry follows its predecessor only while the phone still has it", () => {
  const box = boxWith({ kind: "tick" }, { kind: "measure" });
  const whole = outbox.nextRequest(box, NOW).ops.map((op) => op.after);
  box.entries.shift();
  const alone = outbox.nextRequest(box, NOW).ops.map((op) => op.after);

  assert.deepEqual([whole, alone], [[null, "op-0"], [null]]);
});

test("waiting and refused entries are never let go, however old", () => {
  const box = boxWith({ kind: "tick" }, { kind: "photo", sha256: SHA }, { kind: "note" });
  box.photos = [photo({ state: "there" })];
  box.entries[0] = { ...box.entries[0], state: "sent", settledAt: NOW };
  box.entries[2] = { ...box.entries[2], state: "refused", settledAt: NOW };
  const years = NOW + 5 * 365 * 24 * 3600_000;

  assert.deepEqual(outbox.outlived(box, years),
    { dropEntries: [1], photos: [], dropBytes: [] });
});

test("bytes of a sent photo are let go after three days, its entry after thirty", () => {
  const box = boxWith({ kind: "photo", sha256: SHA });
  box.photos = [photo({ state: "there" })];
  box.entries[0] = { ...box.entries[0], state: "sent", settledAt: NOW };
  const at = (days) => outbox.outlived(box, NOW + days * 24 * 3600_000 + 1);

  assert.deepEqual([at(2).dropBytes, at(3).dropBytes, at(3).dropEntries, at(30).dropEntries],
    [[], [SHA], [], [1]]);
});

test("what is said of a pipe test follows its putting up, and a photo holds up nothing", () => {
  const box = boxWith({ kind: "pipe_test", target: "phase:9" },
    { kind: "pipe_test", target: "test:op-0", sha256: SHA },
    { kind: "pipe_test", target: "test:op-0" }, { kind: "pipe_test", target: "test:op-9" },
    { kind: "tick" });

  assert.deepEqual(box.entries.map((entry) => entry.after),
    [null, "op-0", "op-0", null, null]);
});

test("a pull that finds a restored server makes what was sent wait again, once", () => {
  let box = boxWith({ kind: "tick" }, { kind: "note" });
  box = { ...box, meta: { ...box.meta, epoch: "e1" },
    entries: box.entries.map((entry) => ({ ...entry, state: "sent", settledAt: NOW })) };

  assert.equal(outbox.epochMoved(box, "e1"), null);
  const moved = outbox.epochMoved(box, "e2");

  assert.deepEqual(moved.entries.map((entry) => entry.state), ["waiting", "waiting"]);
  assert.equal(moved.meta.epoch, "e2");
  const fresh = { ...box, meta: { ...box.meta, epoch: null } };
  assert.deepEqual(outbox.epochMoved(fresh, "e1").entries, []);
});
