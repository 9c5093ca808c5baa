// Brings the lots of today and the next working days onto the phone, and keeps them
// fresh. The cursor moves in the same transaction as what it stands for.

import { epochMoved } from "./outbox.js";
import { wantedFiles } from "./view.js";

const genuine = (reply) => reply.status === 200 && reply.body?.from === "plumbrow";

/** Fetch what is new. Answers true when something on the phone changed. */
export async function pull({ store, wire, member, day, clock }) {
  const key = `pulled:${member}`;
  const known = await store.get("places", key);
  const all = () => pullAll({ store, wire, member, day, key, clock });
  if (!known || known.day !== day) return all();
  const reply = await wire.get(`feed/?cursor=${known.cursor}`, member);
  if (!genuine(reply)) return false;
  await noteEpoch(store, reply.body.epoch);
  const news = known.plan?.news?.notice ?? null;
  const told = (reply.body.news ?? null) !== news ||
    (reply.body.sheet ?? null) !== (known.sheet ?? null);
  if (reply.body.reset || reply.body.all || told) return all();
  const put = [];
  for (const id of reply.body.lots) {
    const lot = await wire.get(`lots/${id}/`, member);
    if (!genuine(lot)) return false; // the cursor stays: asked again next time
    put.push([`${member}:${id}`, { ...lot.body.lot, got: clock() }]);
  }
  const cursor = { key, value: { ...known, cursor: reply.body.cursor,
    skew: skewOf(reply.body, clock) ?? known.skew } };
  await store.change("lots", { put, cursor });
  return put.length > 0 || reply.body.more;
}

/** After a restore everything that was sent waits again, though nobody enters more. */
async function noteEpoch(store, epoch) {
  const moved = epochMoved(await store.load(), epoch);
  if (moved) await store.write(moved);
}

/** How far the server's clock is ahead of the phone's, in ms; null when it does not say. */
function skewOf(body, clock) {
  const now = Date.parse(body.now);
  return Number.isNaN(now) ? null : now - clock();
}

async function pullAll({ store, wire, member, day, key, clock }) {
  const reply = await wire.get("lots/", member);
  if (!genuine(reply)) return false;
  await noteEpoch(store, reply.body.epoch);
  const got = clock();
  const { lots, cursor, complete_until: until, today, plan = null,
    sheet = null } = reply.body;
  const put = lots.map((lot) => [`${member}:${lot.id}`, { ...lot, got }]);
  const now = new Set(put.map(([id]) => id));
  const mine = (await store.keys("lots")).filter((one) => one.startsWith(`${member}:`));
  await store.change("lots", {
    put, drop: mine.filter((one) => !now.has(one)),
    cursor: { key, value: { cursor, until, today, day, plan, sheet,
      skew: skewOf(reply.body, clock) ?? 0 } },
  });
  return true;
}

/** The lots of a person as stored, in the order of their days. */
export async function lotsOf(store, member) {
  const keys = (await store.keys("lots")).filter((one) => one.startsWith(`${member}:`));
  const lots = await Promise.all(keys.map((key) => store.get("lots", key)));
  return lots.sort((a, b) =>
    (a.day ?? "9").localeCompare(b.day ?? "9") || a.name.localeCompare(b.name));
}

/** Sheets and thumbnails the phone still lacks. */
export async function missingFiles(store, lots) {
  const have = new Set(await store.keys("files"));
  return wantedFiles(lots).filter((url) => !have.has(url));
}

/** Fetch missing files one by one; let go of those no lot needs any more. */
export async function fetchFiles({ store, wire, member, lots, everyLot }) {
  let fetched = 0;
  for (const url of await missingFiles(store, lots)) {
    const reply = await wire.file(url, member);
    const { status, type, bytes } = reply;
    const real = status === 200 && bytes.byteLength > 0 && !/text\/html/.test(type ?? "");
    if (!real) continue;
    await store.change("files", { put: [[url, { type, bytes }]] });
    fetched += 1;
  }
  const wanted = new Set(wantedFiles(everyLot));
  const drop = (await store.keys("files")).filter((url) => !wanted.has(url));
  if (drop.length) await store.change("files", { drop });
  return fetched;
}
