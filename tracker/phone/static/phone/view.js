// What the screen may say of an item: the server's word, and beside it what this phone
// holds. Pure. It never claims more than a receipt gave.

import { whereIs } from "./outbox.js";

// What answers an item; a note, a walk or a correction leaves it to do.
const ANSWERED = new Set(["tick", "measure", "photo", "test", "not_done"]);

/** Entries of this phone on a target that the server's copy does not show yet. */
export function localOf(entries, lotId, target, known = []) {
  const shown = new Set(known);
  return entries.filter((entry) =>
    entry.lot === lotId && entry.target === target && !shown.has(entry.id));
}

/**
 * One item for the screen: { state, value, photos, local, mark }.
 * local is the latest own entry not yet in the server's copy; mark says where it is.
 */
export function itemView(item, entries, lotId) {
  const known = (item.answers ?? []).map((answer) => answer.op);
  const own = localOf(entries, lotId, `item:${item.id}`, known);
  const standing = withoutUndone(own);
  const last = standing.length ? standing[standing.length - 1] : null;
  const measured = [...standing].reverse().find((one) => one.kind === "measure");
  const refused = own.some((one) => one.state === "refused");
  const photos = new Set(item.photos ?? []);
  for (const one of standing) if (one.kind === "photo") photos.add(one.sha256);
  return {
    state: item.state,
    value: measured ? measured.payload.value : (item.value ?? null),
    photos: [...photos],
    local: last,
    answered: standing.some((one) => ANSWERED.has(one.kind)),
    mark: markOf(own, refused),
  };
}

/** The least of what its entries have reached: refused, else this phone, else sent. */
function markOf(own, refused) {
  if (refused) return "refused";
  if (!own.length) return null;
  return own.every((one) => whereIs(one) === "sent") ? "sent" : "phone";
}

function withoutUndone(entries) {
  const undone = new Set(
    entries.filter((one) => one.kind === "undo" && one.state !== "refused")
      .map((one) => one.payload.of),
  );
  return entries.filter((one) =>
    one.kind !== "undo" && one.state !== "refused" && !undone.has(one.id));
}

/** The latest entry of this person that an undo would take back, or null. */
export function undoable(item, entries, lotId, member) {
  const own = withoutUndone(localOf(entries, lotId, `item:${item.id}`))
    .filter((one) => one.member === member);
  if (own.length) return own[own.length - 1].id;
  const mine = (item.answers ?? []).filter(
    (answer) => answer.mine && !answer.undone && answer.answer !== "undo" && answer.op,
  );
  const taken = new Set(
    localOf(entries, lotId, `item:${item.id}`).filter((one) => one.kind === "undo")
      .map((one) => one.payload.of),
  );
  const left = mine.filter((answer) => !taken.has(answer.op));
  return left.length ? left[left.length - 1].op : null;
}

/** Entries of a target that the lot's copy on this phone was fetched before. */
function newer(entries, lot, target) {
  return localOf(entries, lot.id, target).filter((one) => one.state !== "refused" &&
    (one.state === "waiting" || one.settledAt > (lot.got ?? 0)));
}

/**
 * Tests on the pipe that are up in a phase: the server's, and those put up here, with
 * what was entered since. `words` is the server's verdict, null while it knows less.
 */
export function pipeTests(phase, entries, lot) {
  const known = new Map((phase.tests ?? []).map((test) => [test.id, test]));
  for (const up of newer(entries, lot, `phase:${phase.id}`)) {
    if (up.kind !== "pipe_test" || known.has(up.id)) continue;
    const { system, medium, material, readings } = up.payload;
    known.set(up.id, { id: up.id, system, medium, material, readings, words: null,
      outcome: null, photo: false, again: "", by: "", at: up.at, up });
  }
  return [...known.values()].map((test) => withEntries(test, entries, lot))
    .filter((test) => test !== null);
}

function withEntries({ up, ...test }, entries, lot) {
  const own = newer(entries, lot, `test:${test.id}`);
  const said = own.map((one) => one.payload.what);
  if (said.includes("down")) return null;
  const readings = Object.assign({}, test.readings,
    ...own.map((one) => one.payload.readings ?? {}));
  const again = test.again || said.find((what) => what === "lost_pressure" ||
    what === "disturbed") || "";
  const refused = localOf(entries, lot.id, `test:${test.id}`)
    .some((one) => one.state === "refused");
  return { ...test, readings, again, photo: test.photo || said.includes("photo"),
    words: said.includes("read") ? null : test.words,
    mark: markOf(up ? [up, ...own] : own, refused) };
}

/** How many items of a room nobody has proven or answered on this phone. */
export function itemsLeft(items, entries, lotId) {
  return items.filter((item) => {
    const seen = itemView(item, entries, lotId);
    return seen.state !== "proven" && !seen.answered;
  }).length;
}

/** Files the phone must hold for its lots to be complete. */
export function wantedFiles(lots) {
  const wanted = new Set();
  for (const lot of lots) {
    for (const sheet of lot.sheets) wanted.add(sheet.url);
    for (const room of lot.rooms) {
      for (const item of room.items) {
        for (const photo of item.thumbnails ?? []) wanted.add(photo);
      }
    }
    for (const one of lot.corrections ?? []) {
      for (const photo of one.thumbnails ?? []) wanted.add(photo);
    }
  }
  return [...wanted];
}
