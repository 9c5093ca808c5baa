// What every screen shares: the stored box and lots, the words, and how things are
// entered and sent.

import { counts, LONGEST_WAIT, makeEntry } from "./outbox.js";
import { fetchFiles, lotsOf, missingFiles, pull } from "./pull.js";
import { sendAll, tabLock, tidy } from "./sender.js";
import { makeStore } from "./store.js";
import { say } from "./strings.js";
import { randomBytes, sha256, uuid7 } from "./uuid.js";
import { makeWire } from "./wire.js";

export const app = {
  lang: "en", box: null, lots: [], missing: [], pulled: null, broken: false,
  updated: null, place: { screen: "lots" }, draw: () => {},
};

const hash = sha256;
export const store = makeStore({ indexedDB: window.indexedDB, hash });
export const wire = makeWire({
  base: "/api/v1/", fetch: window.fetch.bind(window), hash,
  tokenOf: (member) => app.box?.meta.people[member]?.token ?? null,
  bytesOf: (sha) => store.bytesOf(sha),
  waitingOf: (member) => (app.box ? counts(app.box, member).waiting : null),
});

export const t = (key, fill) => say(key, app.lang, fill);
export const both = (pair) => (pair ? (pair[app.lang] ?? pair.en ?? "") : "");
export const me = () => app.box?.meta.current ?? null;
export const person = () => app.box?.meta.people[me()] ?? null;
export const count = () => counts(app.box, me());
/** The lot's name in the person's language; older copies have it in English alone. */
export const lotName = (lot) => (app.lang === "es" && lot.name_es ? lot.name_es : lot.name);
/** How far ahead of this phone's clock the server's is, in ms. */
export const skew = () => app.pulled?.skew ?? 0;
/** The day by the server's clock as far as it is known, where the phone is. */
export const today = () => new Date(Date.now() + skew()).toLocaleDateString("sv");
/** Whose something is: one of our words, else as the office wrote it. */
export const owed = (code) => {
  const words = t(`owed_${code}`);
  return words === `owed_${code}` ? code : words;
};
export const lotOf = (id) => app.lots.find((lot) => lot.id === id) ?? null;

/** Read everything again from the phone's database. */
export async function reload() {
  app.box = await store.load();
  app.lots = me() === null ? [] : await lotsOf(store, me());
  app.pulled = me() === null ? null : await store.get("places", `pulled:${me()}`);
  app.missing = await missingFiles(store, app.lots);
}

/** Save an entry on the phone first, show it, then send. False when it was not kept. */
export async function enter(draft, photo = null) {
  if (app.broken) return false;
  try {
    const now = Date.now();
    const id = uuid7(now, randomBytes);
    await store.enter((box) => makeEntry(box, draft, { id, now }), photo);
  } catch (error) {
    failed(error, photo);
    return false;
  }
  await reload();
  app.draw();
  sendSoon();
  return true;
}

function failed(error, photo) {
  if (error.name === "QuotaExceededError" && photo) {
    app.notice = t("storage_full");
    window.scrollTo(0, 0); // where it is said
  } else {
    app.broken = true; // loud, and nothing more is taken in
  }
  app.draw();
}

const lock = tabLock(navigator.locks);
let running = null;
let again = false;
let alarm = null;

/** Send what waits, then pull; one run at a time, and once more if asked meanwhile. */
export function sendSoon({ eager = true } = {}) {
  if (running) {
    again = true;
    return running;
  }
  running = round(eager).finally(() => {
    running = null;
    if (again) {
      again = false;
      sendSoon();
    }
  });
  return running;
}

/** Come back when the pause after a failure is over. */
function wakeAt(waitUntil) {
  clearTimeout(alarm);
  const pause = Math.min(LONGEST_WAIT, Math.max(500, waitUntil - Date.now()));
  alarm = setTimeout(() => sendSoon({ eager: false }), pause);
}

/** What of the outbox can be seen on a screen. */
function shown() {
  const { entries, meta } = app.box;
  return JSON.stringify([entries.map((one) => [one.seq, one.state]), meta.signIn,
    meta.current, app.missing.length, today()]);
}

async function round(eager) {
  if (me() === null || app.broken) return;
  try {
    const deps = { store, wire, lock, clock: Date.now, random: Math.random, eager };
    const before = shown();
    const outcome = await sendAll(deps);
    await reload();
    if (outcome !== "empty") wakeAt(app.box.meta.waitUntil);
    // Drawing anew under a finger would lose the touch: only when something changed.
    if (shown() !== before) app.draw();
    if (await pullRound()) app.draw();
    if (outcome === "empty" && count().waiting) again = true; // the server was restored
    await tidy({ store, clock: Date.now });
  } catch (error) {
    if (isStorage(error)) app.broken = true;
    await reload().catch(() => { app.broken = true; });
    app.draw();
  }
}

const isStorage = (error) => error instanceof DOMException &&
  ["InvalidStateError", "UnknownError", "QuotaExceededError"].includes(error.name);

async function pullRound() {
  const member = me();
  let changed = false;
  while (await pull({ store, wire, member, day: today(), clock: Date.now })) {
    changed = true;
    await reload();
    if (app.pulled?.day !== today()) break;
  }
  if (app.missing.length) {
    await fetchFiles({ store, wire, member, lots: app.lots, everyLot: app.lots });
    await reload();
    changed = true;
  }
  return changed;
}

/** Ask for a person's token by the office's code, and keep it on this phone. */
export async function enrol(code, name) {
  const reply = await wire.post("enrolments/", { code, name });
  if (reply.body?.from !== "plumbrow") throw new Error(t("no_signal"));
  if (reply.status !== 201) throw new Error(both(reply.body) || reply.body.detail);
  const { token, device, member } = reply.body;
  await store.setPeople((meta) => ({
    people: { ...meta.people, [member.id]: { ...member, token, device } },
    current: member.id,
    signIn: meta.signIn.filter((one) => one !== member.id),
  }));
  app.lang = member.language;
  await setLanguage(app.lang);
}

/** Forget a person's token; what he entered stays on the phone, sealed. */
export async function signOut() {
  await store.setPeople((meta) => {
    const { [meta.current]: gone, ...people } = meta.people;
    const left = Object.values(people);
    return { people, current: left.length ? left[0].id : null };
  });
  await reload();
  go({ screen: "lots" });
}

export async function switchTo(member) {
  await store.setPeople(() => ({ current: member }));
  await reload();
  go({ screen: "lots" });
}

export async function setLanguage(lang) {
  app.lang = lang;
  document.documentElement.lang = lang;
  await store.change("places", { put: [["lang", lang]] });
}

/** Show another screen, and remember it for a page that the phone may kill. */
export async function go(place) {
  app.place = place;
  app.notice = null;
  app.draw();
  window.scrollTo(0, 0);
  await store.change("places", { put: [["place", place]] });
}
