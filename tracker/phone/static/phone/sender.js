// Sends what waits, one request at a time. The box is read anew before each request and
// every outcome is stored before it counts, so a page killed anywhere goes on from there.

import { backOff, nextRequest, outlived, settle } from "./outbox.js";

/** One request and what it changes. Answers "sent", "wait" or "empty". */
export async function turn({ store, wire, clock, random, eager = false }) {
  const box = await store.load();
  // Something has changed (signal is back, a person asks): do not wait out the pause.
  if (eager) box.meta.waitUntil = 0;
  const request = nextRequest(box, clock());
  if (request === null) return waiting(box) ? "wait" : "empty";
  let reply = null;
  try {
    reply = await wire.send(request);
  } catch {
    reply = null; // no network, or nothing within the time: ask again later
  }
  // Another tab may have entered something meanwhile: judge by what is stored now.
  const after = await store.load();
  const dice = { now: clock(), random: random() };
  const changes = reply === null ? backOff(after, dice) : settle(after, request, reply, dice);
  await store.write(changes);
  return "sent";
}

const waiting = (box) => box.entries.some((entry) => entry.state === "waiting");

/** Turn until nothing can be sent now; under the lock, so that one tab sends at a time. */
export async function sendAll(deps, { most = 1000 } = {}) {
  return deps.lock(async () => {
    for (let turns = 0; turns < most; turns += 1) {
      const outcome = await turn({ ...deps, eager: deps.eager && turns === 0 });
      deps.told?.(outcome);
      if (outcome !== "sent") return outcome;
    }
    return "wait";
  });
}

/** Let go of what was sent long ago. */
export async function tidy({ store, clock }) {
  const box = await store.load();
  const old = outlived(box, clock());
  if (old.dropEntries.length + old.dropBytes.length) await store.write(old);
}

/** A lock among tabs where the browser has one; the server's receipts back it up. */
export function tabLock(locks) {
  if (!locks) return (work) => work();
  return (work) => locks.request("plumbrow-sender", { ifAvailable: true }, (held) =>
    (held ? work() : "busy"));
}
