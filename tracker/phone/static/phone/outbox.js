// The outbox: what a person entered waits here until the server says it has it.
//
// A pure state machine. It touches no page, no network, no database and no clock: the
// time and the dice are handed in, so the tests drive this very file under Node.
//
// A box is { meta, entries, photos }:
//   meta     { seq, epoch, people: {member: {token, ...}}, current, fails, waitUntil,
//              batch, signIn: [member] }
//   entries  { seq, id, member, kind, lot, target, version, payload, at, after,
//              sha256, state, receipt, code, en, es, settledAt }
//   photos   { sha256, size, type, takenAt, offset, asked, state, code, en, es }
// An entry is "waiting", "sent" or "refused"; a photo is "waiting", "there", "refused"
// or "gone" (its bytes were let go, days after the receipt that named them).

export const BATCH = 50;
export const CHUNK = 256 * 1024;
export const LONGEST_WAIT = 20_000; // ms; a healed network is used within this time
export const KEEP_SENT = 30 * 24 * 3600_000; // ms; offered again to a restored server
export const KEEP_BYTES = 3 * 24 * 3600_000; // ms; photos are large, a backup is daily
const ANSWERS = new Set(["tick", "measure", "not_done", "walk_good", "correction_done"]);

export function emptyBox() {
  const meta = {
    seq: 0, epoch: null, people: {}, current: null, fails: 0, waitUntil: 0,
    batch: BATCH, signIn: [],
  };
  return { meta, entries: [], photos: [] };
}

/** A new entry and its photo row; the store writes both, and the seq, in one go. */
export function makeEntry(box, draft, { id, now }) {
  const member = box.meta.current;
  if (member === null) throw new Error("Nobody is signed in on this phone.");
  const entry = {
    seq: box.meta.seq + 1, id, member, kind: draft.kind, lot: draft.lot,
    target: draft.target, version: draft.version ?? null,
    payload: draft.payload ?? {}, at: new Date(now).toISOString(),
    after: lastAnswer(box.entries, member, draft), sha256: draft.sha256 ?? null,
    state: "waiting", receipt: null, code: null, en: null, es: null, settledAt: null,
  };
  return { entry, meta: { ...box.meta, seq: entry.seq } };
}

/** The entry that this one follows on the same item, so the server keeps their order. */
function lastAnswer(entries, member, draft) {
  if (draft.kind === "pipe_test") return lastOfTest(entries, member, draft);
  const chained = draft.kind === "undo" || ANSWERS.has(draft.kind);
  if (!chained) return null;
  const undone = draft.kind === "undo" &&
    entries.find((entry) => entry.id === draft.payload.of);
  // A photo waits for its bytes and would hold up the ticks: only its undo follows it.
  if (undone && !ANSWERS.has(undone.kind)) return undone.id;
  const same = entries.filter(
    (entry) => entry.member === member && entry.target === draft.target &&
      entry.lot === draft.lot && (ANSWERS.has(entry.kind) || entry.kind === "undo"),
  );
  return same.length ? same[same.length - 1].id : null;
}

/** What is said of a test on the pipe follows the latest that was said of it here. */
function lastOfTest(entries, member, draft) {
  const same = entries.filter((entry) => entry.kind === "pipe_test" &&
    entry.member === member && !entry.sha256 &&
    (entry.target === draft.target || draft.target === `test:${entry.id}`));
  return same.length ? same[same.length - 1].id : null;
}

/** What to ask the server next; null when there is nothing to do before waitUntil. */
export function nextRequest(box, now) {
  const wait = box.meta.waitUntil - now;
  // Longer than we ever wait: the phone's clock was put back meanwhile.
  if (wait > 0 && wait <= LONGEST_WAIT) return null;
  for (const member of senders(box)) {
    const ready = box.entries.filter(
      (entry) => entry.member === member && entry.state === "waiting" &&
        photoReady(box, entry),
    );
    if (ready.length) return operations(box, member, ready.slice(0, box.meta.batch));
  }
  for (const member of senders(box)) {
    const photo = box.photos.find(
      (one) => one.state === "waiting" && neededBy(box, one.sha256, member),
    );
    if (photo) return upload(photo, member);
  }
  return null;
}

/** Only people whose token is on this phone: nobody's work is sent as another's. */
function senders(box) {
  const others = Object.keys(box.meta.people).filter((one) => one !== box.meta.current);
  return [box.meta.current, ...others].filter((one) => one in box.meta.people);
}

function photoReady(box, entry) {
  if (!entry.sha256) return true;
  const photo = box.photos.find((one) => one.sha256 === entry.sha256);
  return !photo || photo.state !== "waiting";
}

function neededBy(box, sha256, member) {
  return box.entries.some(
    (entry) => entry.sha256 === sha256 && entry.member === member &&
      entry.state === "waiting",
  );
}

function operations(box, member, entries) {
  const here = new Set(box.entries.map((entry) => entry.id));
  const ops = entries.map((entry) => ({
    id: entry.id, seq: entry.seq, member: entry.member, kind: entry.kind,
    lot: entry.lot, target: entry.target, version: entry.version,
    payload: entry.payload, at: entry.at,
    after: here.has(entry.after) ? entry.after : null,
  }));
  return { kind: "operations", member, ops };
}

function upload(photo, member) {
  const common = { member, sha256: photo.sha256, length: photo.size };
  if (!photo.asked) return { kind: "offset", ...common };
  const size = Math.min(CHUNK, photo.size - photo.offset);
  const { type, takenAt, offset } = photo;
  return { kind: "chunk", ...common, offset, size, type, takenAt };
}

/**
 * What a reply changes: { entries, photos, dropBytes, meta }, to be stored at once.
 * reply is { status, body }, body being the parsed JSON or null. Only a reply that
 * carries our mark and names what was asked counts; a hotspot's page never does.
 */
export function settle(box, request, reply, { now, random }) {
  const ours = reply !== null && reply.body !== null &&
    typeof reply.body === "object" && reply.body.from === "plumbrow";
  if (!ours) return backOff(box, { now, random });
  if (reply.status === 401) return needSignIn(box, request, { now, random });
  const judge = { operations: settleOperations, offset: settleUpload, chunk: settleUpload };
  return judge[request.kind](box, request, reply, { now, random });
}

function changes(meta, rest = {}) {
  return { entries: [], photos: [], dropBytes: [], meta, ...rest };
}

/** Wait longer after each failure, by chance, so that phones do not come all at once. */
export function backOff(box, { now, random }) {
  const fails = box.meta.fails + 1;
  const most = Math.min(LONGEST_WAIT, 1000 * 2 ** Math.min(fails, 10));
  const waitUntil = now + most / 2 + random * (most / 2);
  return changes({ ...box.meta, fails, waitUntil });
}

function healed(meta) {
  return { ...meta, fails: 0, waitUntil: 0, batch: BATCH };
}

function needSignIn(box, request, dice) {
  const waiting = backOff(box, dice);
  const signIn = [...new Set([...box.meta.signIn, request.member])];
  return { ...waiting, meta: { ...waiting.meta, signIn } };
}

function settleOperations(box, request, reply, dice) {
  if (reply.status !== 200) return refusedBatch(box, request, reply, dice);
  const asked = new Set(request.ops.map((op) => op.id));
  const byId = new Map();
  for (const receipt of reply.body.receipts ?? []) {
    if (asked.has(receipt.id)) byId.set(receipt.id, receipt);
  }
  if (byId.size === 0) return backOff(box, dice);
  const moved = changes(healed(box.meta));
  let later = 0;
  for (const entry of box.entries) {
    const receipt = byId.get(entry.id);
    if (!receipt || entry.state !== "waiting") continue;
    if (receipt.result === "later") later += 1;
    settleEntry(box, moved, entry, receipt, dice.now);
  }
  const stuck = later === byId.size && moved.photos.length === 0;
  moved.meta = stuck ? backOff(box, dice).meta : moved.meta;
  return signedIn(epochSeen(box, moved, reply.body.epoch), request.member);
}

function settleEntry(box, moved, entry, receipt, now) {
  const final = { applied: "sent", had: "sent", refused: "refused" }[receipt.result];
  // A photo counts as sent only by a receipt that names its very bytes.
  if (final === "sent" && entry.sha256 && receipt.sha256 !== entry.sha256) return;
  if (final) {
    const { code = null, en = null, es = null } = receipt;
    const state = { state: final, receipt: receipt.result, code, en, es };
    moved.entries.push({ ...entry, ...state, settledAt: now });
    return;
  }
  // The server has the entry in hand but not the photo: offer its bytes again.
  const photo = box.photos.find((one) => one.sha256 === entry.sha256);
  if (receipt.code !== "photo_missing") return;
  if (photo && photo.state !== "gone") {
    moved.photos.push({ ...photo, state: "waiting", asked: false, offset: 0 });
  } else {
    const state = { state: "refused", receipt: "refused", code: "photo_gone" };
    moved.entries.push({ ...entry, ...state, settledAt: now });
  }
}

/** The server could not read the batch: try half of it; a single one is set aside. */
function refusedBatch(box, request, reply, dice) {
  const final = [400, 413, 422].includes(reply.status);
  const waiting = backOff(box, dice);
  if (!final) return waiting;
  if (request.ops.length > 1) {
    const batch = Math.max(1, Math.floor(request.ops.length / 2));
    return changes({ ...box.meta, batch });
  }
  const entry = box.entries.find((one) => one.id === request.ops[0].id);
  const { code = "unreadable", en = null, es = null } = reply.body;
  const refused = { state: "refused", receipt: "refused", code, en, es };
  return changes(healed(box.meta), {
    entries: [{ ...entry, ...refused, settledAt: dice.now }],
  });
}

function settleUpload(box, request, reply, dice) {
  const { body } = reply;
  const photo = box.photos.find((one) => one.sha256 === request.sha256);
  if (!photo || body.sha256 !== request.sha256) return backOff(box, dice);
  const put = (row) => changes(healed(box.meta), { photos: [{ ...photo, ...row }] });
  if (body.state === "there") return put({ state: "there", offset: photo.size });
  if (body.state === "refused") {
    return put({ state: "refused", code: body.code, en: body.en, es: body.es });
  }
  const known = Number.isInteger(body.offset) && body.offset >= 0 &&
    body.offset <= photo.size;
  if (!known) return backOff(box, dice);
  const moved = put({ asked: true, offset: body.offset });
  // No way forward in a write (another connection holds it, or a bad chunk): wait.
  const still = request.kind === "chunk" && body.offset <= request.offset;
  return still ? { ...moved, meta: backOff(box, dice).meta } : moved;
}

/** What a pull learns: a server restored from a backup has another epoch, or null. */
export function epochMoved(box, epoch) {
  const known = !epoch || epoch === box.meta.epoch;
  return known ? null : epochSeen(box, changes(box.meta), epoch);
}

/** A restored server says another epoch: offer again all that was sent, keep all. */
function epochSeen(box, moved, epoch) {
  if (!epoch || epoch === box.meta.epoch) return moved;
  const meta = { ...moved.meta, epoch };
  if (box.meta.epoch === null) return { ...moved, meta };
  const now = new Set(moved.entries.map((entry) => entry.id));
  const again = box.entries
    .filter((entry) => entry.state === "sent" && !now.has(entry.id))
    .map((entry) => ({ ...entry, state: "waiting", receipt: null, settledAt: null }));
  return { ...moved, meta, entries: [...moved.entries, ...again] };
}

function signedIn(moved, member) {
  const signIn = moved.meta.signIn.filter((one) => one !== member);
  return { ...moved, meta: { ...moved.meta, signIn } };
}

/** What may be let go: entries sent KEEP_SENT ago, bytes of photos KEEP_BYTES ago. */
export function outlived(box, now) {
  const older = (entry, age) => entry.state === "sent" && entry.settledAt + age < now;
  const entries = box.entries.filter((entry) => older(entry, KEEP_SENT));
  const held = new Set(
    box.entries.filter((one) => !older(one, KEEP_BYTES)).map((one) => one.sha256),
  );
  const photos = box.photos.filter(
    (one) => one.state === "there" && !held.has(one.sha256),
  );
  return {
    dropEntries: entries.map((entry) => entry.seq),
    photos: photos.map((one) => ({ ...one, state: "gone" })),
    dropBytes: photos.map((one) => one.sha256),
  };
}

/** The honest word for one entry: "phone", "sent" or "refused". */
export function whereIs(entry) {
  return { sent: "sent", refused: "refused" }[entry.state] ?? "phone";
}

/** How many entries of a person wait, were refused; and how many of others wait. */
export function counts(box, member) {
  const of = (test) => box.entries.filter(test).length;
  return {
    waiting: of((one) => one.member === member && one.state === "waiting"),
    refused: of((one) => one.member === member && one.state === "refused"),
    sealed: of((one) => one.member !== member && one.state === "waiting"),
  };
}
