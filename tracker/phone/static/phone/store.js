// The phone's database: the only module that touches IndexedDB.
//
// Saved means on disk: outbox writes are strict and read back before they count. The
// handle may be dead after the app was in the background: it is dropped, reopened and
// the work tried once more; what still fails is thrown, never called saved. Photos are
// kept as bytes (ArrayBuffer), since Blobs come back empty on some phones.

import { emptyBox } from "./outbox.js";

const STORES = {
  meta: {}, entries: { keyPath: "seq" }, photos: { keyPath: "sha256" }, bytes: {},
  places: {}, lots: {}, files: {},
};
const STRICT = { durability: "strict" };

export function makeStore({ indexedDB, hash, name = "plumbrow-phone" }) {
  let handle = null;

  function open() {
    handle ??= new Promise((resolve, reject) => {
      const asked = indexedDB.open(name, 1);
      asked.onupgradeneeded = () => {
        for (const [store, options] of Object.entries(STORES)) {
          asked.result.createObjectStore(store, options);
        }
      };
      asked.onblocked = () => reject(new Error("The phone's database is blocked."));
      asked.onerror = () => reject(asked.error);
      asked.onsuccess = () => {
        asked.result.onversionchange = () => asked.result.close();
        asked.result.onclose = () => { handle = null; };
        resolve(asked.result);
      };
    });
    return handle;
  }

  async function once(stores, mode, work) {
    const database = await open();
    return new Promise((resolve, reject) => {
      const transaction = database.transaction(stores, mode, STRICT);
      let answer;
      transaction.oncomplete = () => resolve(answer);
      transaction.onabort = () => reject(transaction.error ?? new Error("Aborted."));
      const at = (store) => transaction.objectStore(store);
      Promise.resolve(work(at, transaction)).then(
        (value) => { answer = value; },
        (error) => { abort(transaction); reject(error); },
      );
    });
  }

  /** Work in one transaction; a dead handle is dropped and the work tried once more. */
  async function inside(stores, mode, work) {
    try {
      return await once(stores, mode, work);
    } catch (error) {
      if (error.name === "QuotaExceededError") throw error;
      const dead = handle;
      handle = null;
      dead?.then((database) => database.close(), () => {});
      return once(stores, mode, work);
    }
  }

  async function load() {
    return inside(["meta", "entries", "photos"], "readonly", readBox);
  }

  /** Save a new entry and its photo bytes in one transaction, then read them back. */
  async function enter(make, photo = null) {
    const entry = await inside(
      ["meta", "entries", "photos", "bytes"], "readwrite",
      async (at) => {
        const made = make(await readBox(at));
        await ask(at("meta").put(made.meta, "box"));
        if (photo) await putPhoto(at, photo);
        await ask(at("entries").add(made.entry));
        return made.entry;
      },
    );
    if (photo) await readBack(photo);
    return entry;
  }

  async function readBack({ sha256, size }) {
    const kept = await bytesOf(sha256);
    if (kept?.byteLength !== size || (await hash(kept)) !== sha256) {
      throw new Error("The photo could not be read back from this phone.");
    }
  }

  /** Store an outcome of the outbox: all of it or nothing. */
  async function write({
    entries = [], photos = [], dropEntries = [], dropBytes = [], meta = null,
  }) {
    await inside(["meta", "entries", "photos", "bytes"], "readwrite", async (at) => {
      for (const row of entries) await ask(at("entries").put(row));
      for (const row of photos) await ask(at("photos").put(row));
      for (const seq of dropEntries) await ask(at("entries").delete(seq));
      for (const sha of dropBytes) await ask(at("bytes").delete(sha));
      // The sequence belongs to `enter`: another tab may have moved it meanwhile.
      if (meta) {
        const now = (await ask(at("meta").get("box"))) ?? emptyBox().meta;
        const { seq, people, current } = now;
        await ask(at("meta").put({ ...meta, seq, people, current }, "box"));
      }
    });
  }

  async function bytesOf(sha) {
    return inside(["bytes"], "readonly", (at) => ask(at("bytes").get(sha)));
  }

  /** Who is signed in on this phone, and whose tokens it holds. */
  async function setPeople(change) {
    return inside(["meta"], "readwrite", async (at) => {
      const now = (await ask(at("meta").get("box"))) ?? emptyBox().meta;
      const meta = { ...now, waitUntil: 0, ...change(now) };
      await ask(at("meta").put(meta, "box"));
      return meta;
    });
  }

  const get = (store, key) => inside([store], "readonly", (at) => ask(at(store).get(key)));
  const all = (store) => inside([store], "readonly", (at) => ask(at(store).getAll()));
  const keys = (store) =>
    inside([store], "readonly", (at) => ask(at(store).getAllKeys()));

  /** Put and delete rows of places, lots or files, all in one transaction. */
  async function change(store, { put = [], drop = [], cursor = null }) {
    await inside([store, "places"], "readwrite", async (at) => {
      for (const [key, value] of put) await ask(at(store).put(value, key));
      for (const key of drop) await ask(at(store).delete(key));
      if (cursor) await ask(at("places").put(cursor.value, cursor.key));
    });
  }

  return {
    load, enter, write, bytesOf, setPeople, get, all, keys, change,
    close: async () => { (await handle)?.close(); handle = null; },
  };
}

async function readBox(at) {
  const [meta, entries, photos] = await Promise.all([
    ask(at("meta").get("box")), ask(at("entries").getAll()), ask(at("photos").getAll()),
  ]);
  return { meta: meta ?? emptyBox().meta, entries, photos };
}

/** The bytes are stored once; a photo used twice keeps its progress. */
async function putPhoto(at, { bytes, sha256, size, type, takenAt }) {
  const known = await ask(at("photos").get(sha256));
  const kept = known && (await ask(at("bytes").getKey(sha256))) !== undefined;
  if (known && kept && known.state !== "refused") return;
  const fresh = { offset: 0, asked: false, state: "waiting", code: null };
  await ask(at("photos").put({ sha256, size, type, takenAt, ...fresh }));
  await ask(at("bytes").put(bytes, sha256));
}

function ask(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function abort(transaction) {
  try {
    transaction.abort();
  } catch {
    // It is over already.
  }
}
