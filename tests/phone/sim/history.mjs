// One history: about forty steps of three phones on one lot, with faults.
import { checkClaims, checkQuiet } from "./checks.mjs";
import { makePhone } from "./phone.mjs";

const FAULTS = {
  clean: 30, no_network: 4, lost_reply: 8, repeated: 4, portal: 2, portal_json: 2,
  redirect: 1, too_large_page: 2, stripped: 2, stale: 3, flipped: 4, cut: 6,
  two_writers: 4, both_at_once: 3, delayed: 5, killed: 10,
};
const STEPS = {
  enter: 40, sync: 30, pull: 6, twins: 3, shuffled: 4, late: 4, remove: 2, change: 2,
  clock: 3, expire: 2, revoke: 1, disable: 1, switch: 2, overtaken: 3, poison: 2,
  killed_page: 4, two_readings: 2, same_bytes: 2, tick_untick: 3,
};

export async function runHistory(told) {
  const { core, port, seed, dice, fired, steps, trace, number } = told;
  const door = async (path) => (await fetch(`http://127.0.0.1:${port}/${path}`)).json();
  const world = await door("__world__");
  const clock = { now: Date.UTC(2026, 2, 4, 15), skew: 0 };
  const phones = world.people.map((person) => makePhone({ ...told, world, person, clock }));
  for (const phone of phones) {
    await phone.signIn(phone.person);
    phone.from = Number(world.cursor.split(".").at(-1));
  }
  const game = { core, door, world, clock, phones, dice, fired, trace, closed: new Set() };
  const people = world.people.map((one) => one.id).join(",");
  const truth = () => door(`__truth__?lot=${world.lot}&people=${people}`);
  game.truth = truth;
  for (let step = 0; step < steps; step += 1) {
    // The first steps of each history go round, so that every kind comes up soon.
    const names = Object.keys(STEPS);
    const name = step > 5 && step < 9 ? names[(3 * number + step) % names.length]
      : dice.weighted(STEPS);
    trace.push(`step ${name}`);
    clock.now += dice.below(20_000);
    await ACTS[name](game);
    checkClaims(phones, await truth());
  }
  await heal(game);
  const held = await truth();
  checkQuiet(phones, held);
  return { seed, facts: held.facts.length, aside: held.aside.length };
}

const onItem = (game, key) => `item:${game.world.items[key]}`;
const open = (game) => game.phones.filter((phone) => !game.closed.has(phone));
function draftFor(game, phone) {
  const { dice, world } = game;
  const [key, id] = dice.pick(Object.entries(world.items));
  const base = { lot: world.lot, target: `item:${id}`, version: 1 };
  const kind = dice.weighted({ tick: 5, measure: 3, photo: 4, note: 1, not_done: 1,
    undo: 2, test: 1, walk_good: 1 });
  if (kind === "measure") {
    return { ...base, kind, target: onItem(game, "shower-head"),
      payload: { value: 1276 + dice.below(40), unit: "in16", reason: "as built" } };
  }
  if (kind === "undo") return undoOf(game, phone, base);
  if (kind === "not_done") {
    return { ...base, kind, payload: { owed_by: "framer", text: "in the way" } };
  }
  if (kind === "note") return { ...base, kind, payload: { text: `note ${key}` } };
  if (kind === "test") return { ...base, kind, payload: { passed: dice.below(2) === 1 } };
  return { ...base, kind, payload: {} };
}

function undoOf(game, phone, base) {
  const own = [...phone.ledger.values()].filter((entry) => entry.kind === "tick" &&
    entry.member === phone.store.disk.box.meta.current);
  if (!own.length) return { ...base, kind: "tick", payload: {} };
  const of = game.dice.pick(own);
  return { ...base, kind: "undo", target: of.target, payload: { of: of.id } };
}

/** A picture with this world's own number behind its end. */
async function photoFor(game, number) {
  const bytes = Buffer.from(game.world.pictures[number], "base64");
  const array = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length);
  const own = new Uint8Array(array.byteLength + 8);
  own.set(new Uint8Array(array));
  new DataView(own.buffer).setUint32(array.byteLength, game.world.lot);
  const sha256 = await game.core.sha256(own.buffer);
  return { bytes: own.buffer, sha256, size: own.byteLength, type: "image/jpeg",
    takenAt: "2026-03-04T14:00:00.000Z" };
}

async function put(game, phone, draft, number = game.dice.below(6)) {
  if (draft.kind !== "photo") return phone.enter(draft);
  const photo = await photoFor(game, number);
  return phone.enter({ ...draft, payload: { sha: photo.sha256 },
    sha256: photo.sha256 }, photo);
}

async function sync(game, phone, turns, { faults = FAULTS } = {}) {
  for (let n = 0; n < turns; n += 1) {
    const plan = game.dice.weighted(faults);
    if (plan !== "clean") phone.network.state.plan = plan;
    const outcome = await phone.turn();
    phone.network.state.plan = null;
    if (outcome === "empty") return;
    if (outcome === "wait") game.clock.now += 5_000;
  }
}

const ACTS = {
  enter: async (game) => {
    const phone = game.dice.pick(open(game));
    await put(game, phone, draftFor(game, phone));
  },
  sync: async (game) => sync(game, game.dice.pick(open(game)), 1 + game.dice.below(6)),
  pull: async (game) => {
    const phone = game.dice.pick(open(game));
    await phone.pull(phone.person.id);
  },
  // Two senders on one outbox, without the lock.
  twins: async (game) => {
    const phone = game.dice.pick(open(game));
    await put(game, phone, draftFor(game, phone));
    const outcomes = await Promise.all([phone.turn(), phone.turn()]);
    if (outcomes.every((one) => one === "sent")) game.fired(3);
  },
  shuffled: async (game) => {
    const phone = game.dice.pick(open(game));
    for (let n = 0; n < 3; n += 1) await put(game, phone, draftFor(game, phone));
    const box = await phone.store.load();
    const request = game.core.nextRequest(box, game.clock.now + 1e9);
    if (request?.kind !== "operations" || request.ops.length < 2) return;
    const half = Math.floor(request.ops.length / 2);
    const wire = phone.deps().wire;
    await wire.send({ ...request, ops: request.ops.slice(half) }).catch(() => {});
    await wire.send({ ...request, ops: request.ops.slice(0, half) }).catch(() => {});
    game.fired(2);
  },
  late: async (game) => {
    for (const phone of game.phones) await phone.network.deliverLate();
  },
  remove: async (game) => {
    const phone = game.dice.pick(open(game));
    const tick = draftFor(game, phone);
    const saved = await put(game, phone, tick);
    const id = tick.target.split(":")[1];
    await game.door(`__office__?act=remove&item=${id}`);
    if (saved) game.fired(12);
  },
  change: async (game) => {
    const phone = game.dice.pick(open(game));
    const saved = await put(game, phone, { kind: "tick", lot: game.world.lot, version: 1,
      target: onItem(game, "lavatory-drain"), payload: {} });
    await game.door(`__office__?act=change&item=${game.world.items["lavatory-drain"]}`);
    if (saved) game.fired(13);
  },
  clock: async (game) => {
    const day = 24 * 3600_000;
    game.clock.skew = game.dice.pick([0, 3 * day, -3 * day, 3600_000, -3600_000, -90_000]);
    game.fired(9);
  },
  // The token is no longer known: everything waits until the person signs in again.
  expire: async (game) => {
    const phone = game.dice.pick(open(game));
    const saved = await put(game, phone, draftFor(game, phone));
    await game.door(`__office__?act=expire&member=${phone.person.id}`);
    await sync(game, phone, 2, { faults: { clean: 1 } });
    if (saved) game.fired(21);
    await phone.signIn(await game.door(`__enrol__?member=${phone.person.id}`));
  },
  revoke: async (game) => {
    const phone = game.dice.pick(open(game));
    const saved = await put(game, phone, draftFor(game, phone));
    await game.door(`__office__?act=revoke&member=${phone.person.id}`);
    await sync(game, phone, 2, { faults: { clean: 1 } });
    if (saved) game.fired(21);
    await phone.signIn(await game.door(`__enrol__?member=${phone.person.id}`));
  },
  disable: async (game) => {
    if (open(game).length < 2 || game.dice.below(2)) return;
    const phone = game.dice.pick(open(game));
    await put(game, phone, draftFor(game, phone));
    await phone.pull(phone.person.id);
    await game.door(`__office__?act=disable&member=${phone.person.id}`);
    game.closed.add(phone);
    phone.blind = true;
    game.fired(21);
  },
  // Another person signs in on a phone that holds somebody's waiting work.
  switch: async (game) => {
    const [phone, other] = open(game);
    if (!other) return;
    const saved = await put(game, phone, draftFor(game, phone));
    const guest = await game.door(`__enrol__?member=${other.person.id}`);
    const sealed = game.dice.below(2) === 1;
    const own = phone.store.disk.box.meta.people[phone.person.id];
    if (sealed) {
      await phone.store.setPeople((meta) => {
        const { [phone.person.id]: gone, ...people } = meta.people;
        return { people, current: null };
      });
    }
    await phone.signIn(guest);
    await put(game, phone, draftFor(game, phone));
    await sync(game, phone, 4);
    if (saved) game.fired(22);
    await phone.signIn(own);
  },
  // A write that has read its time is overtaken by another, and a pull falls between.
  overtaken: async (game) => {
    const [slow, quick] = open(game);
    if (!quick) return;
    for (const phone of [slow, quick]) {
      await put(game, phone, { kind: "note", lot: game.world.lot, version: 1,
        target: onItem(game, "closet-drain"), payload: { text: "in time" } });
      await sync(game, phone, 6, { faults: { clean: 1 } });
      await put(game, phone, { kind: "note", lot: game.world.lot, version: 1,
        target: onItem(game, "closet-drain"), payload: { text: "overtaken" } });
    }
    game.clock.now += 60_000;
    slow.network.state.plan = "stalled";
    slow.network.state.header = { "X-Stall": "0.12" };
    const held = slow.turn();
    await new Promise((resolve) => { setTimeout(resolve, 40); });
    await quick.turn();
    for (const phone of open(game)) await phone.pull(phone.person.id);
    await held;
    game.fired(29);
  },
  poison: async (game) => {
    const phone = game.dice.pick(open(game));
    const base = { lot: game.world.lot, version: 1, target: onItem(game, "tub-valve") };
    await phone.enter({ ...base, kind: "not_done", payload: { text: { odd: true } } });
    await phone.enter({ ...base, kind: "note", payload: { text: "nul \0 inside" } });
    await put(game, phone, { ...base, kind: "note", payload: { text: "behind it" } });
    game.fired(26);
  },
  killed_page: async (game) => {
    const phone = game.dice.pick(open(game));
    phone.store.killAt(1 + game.dice.below(5));
    await put(game, phone, draftFor(game, phone));
    await sync(game, phone, 2);
    phone.store.killAt(0);
    game.fired(14);
  },
  two_readings: async (game) => {
    const [one, two] = open(game);
    if (!two) return;
    const draft = (value) => ({ kind: "measure", lot: game.world.lot, version: 1,
      target: onItem(game, "shower-head"), payload: { value, unit: "in16" } });
    await one.enter(draft(1280));
    await two.enter(draft(1290));
    game.fired(11);
  },
  same_bytes: async (game) => {
    const phone = game.dice.pick(open(game));
    const draft = (key) => ({ kind: "photo", lot: game.world.lot, version: 1,
      target: onItem(game, key) });
    const number = game.dice.below(6);
    await put(game, phone, draft("tub-valve"), number);
    await put(game, phone, draft("closet-drain"), number);
    // The same name, time and size, but another picture.
    await put(game, phone, draft("tub-valve"), (number + 1) % 6);
    game.fired(30);
  },
  tick_untick: async (game) => {
    const [one, two] = open(game);
    if (!two) return;
    const base = { lot: game.world.lot, target: onItem(game, "closet-drain"), version: 1 };
    const tick = await one.enter({ ...base, kind: "tick", payload: {} });
    await two.enter({ ...base, kind: "tick", payload: {} });
    if (tick) await one.enter({ ...base, kind: "undo", payload: { of: tick.id } });
    await sync(game, game.dice.pick([one, two]), 2);
    game.fired(10);
  },
};

/** Faults stop: within 60 s of phone time every outbox is empty by itself. */
async function heal(game) {
  const { clock, phones } = game;
  for (const phone of phones) {
    await phone.network.deliverLate();
    // Whoever has to sign in again on this phone does so, its owner last.
    const { meta, entries } = phone.store.disk.box;
    const sealed = entries.map((entry) => entry.member).filter((one) => !meta.people[one]);
    for (const member of new Set([...sealed, ...meta.signIn])) {
      await phone.signIn(await game.door(`__enrol__?member=${member}`));
    }
    const { people, current } = phone.store.disk.box.meta;
    if (current === phone.person.id && people[current]) continue;
    await phone.signIn(people[phone.person.id] ??
      await game.door(`__enrol__?member=${phone.person.id}`));
  }
  clock.skew = 0;
  const until = clock.now + 60_000;
  for (const phone of phones) {
    let now = clock.now;
    for (let turns = 0; turns < 400 && now < until; turns += 1) {
      const outcome = await game.core.turn(phone.deps({ clock: () => now }));
      if (outcome === "empty") break;
      if (outcome === "wait") now += 500;
    }
  }
  for (const phone of phones) await phone.pull(phone.person.id);
}
