// One phone of the simulation: the real outbox, sender and wire on a memory store.

import { makeMemory, PageKilled } from "./memory.mjs";
import { makeNetwork } from "./network.mjs";

export function makePhone({ core, port, world, person, dice, fired, trace, clock }) {
  const store = makeMemory(core.emptyBox);
  const network = makeNetwork({ port, dice, fired, trace });
  const ledger = new Map(); // what `enter` called saved: id -> draft and member
  const seen = []; // facts that came by the feed
  let cursor = world.cursor;

  const tokens = () => store.disk.box.meta.people;
  const wire = core.makeWire({
    base: `http://127.0.0.1:${port}/api/v1/`, fetch: network.faulty, hash: core.sha256,
    tokenOf: (member) => tokens()[member]?.token ?? null,
    bytesOf: (sha) => store.bytesOf(sha),
  });
  const deps = (extra = {}) => ({ store, wire, clock: () => clock.now + clock.skew,
    random: dice.random, lock: (work) => work(), ...extra });

  async function signIn(member) {
    await store.setPeople((meta) => ({
      people: { ...meta.people, [member.id]: member }, current: member.id,
      signIn: meta.signIn.filter((one) => one !== member.id),
    }));
  }

  async function enter(draft, photo = null) {
    const id = core.uuid7(clock.now + clock.skew, dice.bytes);
    const make = (box) => core.makeEntry(box, draft, { id, now: clock.now + clock.skew });
    try {
      const entry = await store.enter(make, photo);
      ledger.set(entry.id, entry);
      return entry;
    } catch (error) {
      if (!(error instanceof PageKilled)) throw error;
      return null; // the person was never told it is saved
    }
  }

  async function turn() {
    try {
      return await core.turn(deps());
    } catch (error) {
      if (!(error instanceof PageKilled)) throw error;
      return "killed";
    }
  }

  async function pull(member) {
    const token = tokens()[member]?.token;
    if (!token) return;
    for (let page = 0; page < 50; page += 1) {
      const reply = await fetch(
        `http://127.0.0.1:${port}/api/v1/feed/?cursor=${cursor}`,
        { headers: { Authorization: `Bearer ${token}` } },
      );
      if (reply.status !== 200) return;
      const body = await reply.json();
      seen.push(...body.facts);
      cursor = body.cursor;
      if (!body.more) return;
    }
  }

  return { store, network, ledger, seen, person, signIn, enter, turn, pull, deps };
}
