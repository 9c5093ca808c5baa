// The invariants of the promise, checked against what the server really holds.

export class Broken extends Error {}

const must = (fine, words) => { if (!fine) throw new Broken(words); };

/** I6, I4 while it runs: nothing is called sent, and no bytes are let go, too early. */
export function checkClaims(phones, truth) {
  for (const phone of phones) {
    const { box, bytes } = phone.store.disk;
    for (const entry of box.entries) {
      const held = truth.operations[entry.id];
      if (entry.state === "sent") {
        must(held?.[0] === "applied", `I6: ${entry.kind} ${entry.id} is shown as sent`);
      }
      if (entry.state !== "sent" && entry.sha256 && entry.state !== "refused") {
        must(bytes.has(entry.sha256), `I4: bytes of a waiting photo are gone`);
      }
    }
    for (const [id, saved] of phone.ledger) {
      const kept = box.entries.some((one) => one.id === id);
      must(kept || truth.operations[id], `I1: saved ${saved.kind} ${id} is nowhere`);
    }
  }
  must(truth.half.length === 0, `a row without its whole file: ${truth.half}`);
}

/** All of them once everything is quiet. */
export function checkQuiet(phones, truth, { sealedFine = false } = {}) {
  checkClaims(phones, truth);
  const facts = new Map();
  for (const fact of truth.facts) {
    if (!fact.op) continue;
    must(!facts.has(fact.op), `I2: two effects of ${fact.op}`);
    facts.set(fact.op, fact);
  }
  const everything = new Map(phones.flatMap((phone) => [...phone.ledger]));
  for (const phone of phones) {
    for (const entry of phone.store.disk.box.entries) {
      const sealed = sealedFine && entry.state === "waiting";
      must(sealed || entry.state !== "waiting", `I8: ${entry.kind} still waits: ` +
        JSON.stringify([entry, phone.store.disk.box.photos, phone.store.disk.box.meta]));
      checkOne(entry, truth, facts);
    }
  }
  for (const fact of facts.values()) {
    const entry = everything.get(fact.op);
    must(entry, `I2: a fact of an operation nobody entered: ${fact.kind}`);
    must(fact.by === entry.member, `I5: ${fact.op} carries another person's name`);
  }
  checkOrder(everything, truth.facts);
  checkPhotos(everything, truth, facts);
  checkFeeds(phones, truth);
}

/** I1: applied with its fact, or refused and visible in the review list. */
function checkOne(entry, truth, facts) {
  const held = truth.operations[entry.id];
  if (entry.state === "sent") {
    must(held?.[0] === "applied" && facts.has(entry.id), `I1: ${entry.id} has no fact`);
    const { payload } = facts.get(entry.id);
    if (entry.kind === "measure") {
      must(payload.value === entry.payload.value, `I1: value of ${entry.id} changed`);
    }
    if (entry.version !== null && facts.get(entry.id).kind === "entry") {
      must(payload.version === entry.version, `I1: ${entry.id} left its version`);
    }
  }
  if (entry.state === "refused") {
    must(truth.aside.includes(entry.id), `I1: refused ${entry.id} is in no review list`);
    must(!facts.has(entry.id), `I1: ${entry.id} is refused and applied`);
  }
}

/** Fault 2: on one item the acts of one phone stand in the phone's own order. */
function checkOrder(everything, facts) {
  const last = new Map();
  for (const fact of facts) {
    const entry = everything.get(fact.op);
    if (!entry || !["tick", "measure", "not_done", "undo"].includes(entry.kind)) continue;
    const key = `${entry.member} ${entry.target} ${fact.device}`;
    must(!(last.get(key) > fact.seq), `order: ${entry.kind} overtook on ${key}`);
    last.set(key, fact.seq);
  }
}

/** Fault 30: bytes once, every reference kept. */
function checkPhotos(everything, truth, facts) {
  const have = new Set(truth.photos);
  for (const entry of everything.values()) {
    if (entry.kind !== "photo" || !facts.has(entry.id)) continue;
    must(have.has(entry.sha256), `I1: photo ${entry.sha256} is not on the server`);
    const item = Number(entry.target.split(":")[1]);
    must(truth.uses.some(([sha, on]) => sha === entry.sha256 && on === item),
      `fault 30: a use of ${entry.sha256} is lost`);
  }
}

/** I3, fault 29: who pulled to the end has seen every fact, each once, in order. */
function checkFeeds(phones, truth) {
  for (const phone of phones) {
    if (phone.blind) continue;
    const seen = phone.seen.map((fact) => fact.no);
    const all = truth.facts.filter((fact) => fact.no > phone.from).map((fact) => fact.no);
    must(JSON.stringify(seen) === JSON.stringify(all),
      `I3: the feed of ${phone.person.name} missed ${all.filter((n) => !seen.includes(n))}`);
  }
}
