"""store.js on a real IndexedDB: saved means there, whole, or not at all."""

import json

import pytest

pytestmark = pytest.mark.browser

# Runs in the page; answers what a phone that was killed or failed shows when reopened.
SETUP = """
const { makeStore } = await import("/static/phone/store.js");
const { makeEntry, emptyBox } = await import("/static/phone/outbox.js");
const { sha256 } = await import("/static/phone/uuid.js");
const name = "test-" + Math.random();
const fresh = () => makeStore({ indexedDB, hash: sha256, name });
const bytes = new Uint8Array(5000).map((_, n) => n % 251).buffer;
const photo = { bytes, sha256: await sha256(bytes), size: 5000, type: "image/jpeg",
  takenAt: null };
const draft = { kind: "photo", lot: 1, target: "item:1", payload: {},
  sha256: photo.sha256 };
let number = 0;
const enter = (store) => store.enter((box) => makeEntry(box, draft,
  { id: "op-" + (number += 1), now: 0 }), photo);
const first = fresh();
await first.setPeople(() => ({ people: { 7: { id: "7", token: "t" } }, current: "7" }));
const held = async () => {
  const store = fresh();
  const box = await store.load();
  const kept = await store.bytesOf(photo.sha256);
  await store.close();
  return [box.meta.seq, box.entries.length, box.photos.length, kept?.byteLength ?? 0];
};
"""


@pytest.fixture
def page(browser, house):
    context = house.phone(browser)
    page = context.new_page()
    page.goto("/phone/")
    yield page
    context.close()


def run(page, script: str):
    return page.evaluate("async () => {" + SETUP + script + "}")


def test_a_page_killed_at_any_put_or_at_the_commit_keeps_all_or_nothing(page):
    """At the n-th put the transaction dies, as it does with the page."""
    found = run(
        page,
        """
        const { put, add } = IDBObjectStore.prototype;
        const real = { put, add };
        const seen = [];
        for (let at = 1; at < 20; at += 1) {
          let calls = 0, fired = false;
          for (const kind of ["put", "add"]) {
            IDBObjectStore.prototype[kind] = function (...given) {
              calls += 1;
              // Twice, since a dead handle is tried once more.
              if (calls === at || (fired && calls === 2 * at)) {
                fired = true;
                this.transaction.abort();
                throw new DOMException("killed", "AbortError");
              }
              return real[kind].apply(this, given);
            };
          }
          let saved = true;
          await enter(fresh()).catch(() => { saved = false; });
          Object.assign(IDBObjectStore.prototype, real);
          seen.push([at, saved, await held()]);
          if (!fired) break;
        }
        return seen;
        """,
    )

    whole, nothing = [1, 1, 1, 5000], [0, 0, 0, 0]
    assert [one[1:] for one in found[:-1]] == [[False, nothing]] * (len(found) - 1)
    assert len(found) == 5  # the sequence, the photo, its bytes, the entry; then clean
    assert found[-1][1:] == [True, whole]


def test_a_dead_handle_is_reopened_and_the_work_done_once(page):
    found = run(
        page,
        """
        const real = IDBDatabase.prototype.transaction;
        let failed = 0;
        IDBDatabase.prototype.transaction = function (...given) {
          if (failed < 1) {
            failed += 1;
            throw new DOMException("closing", "InvalidStateError");
          }
          return real.apply(this, given);
        };
        const entry = await enter(first);
        IDBDatabase.prototype.transaction = real;
        return [failed, entry.seq, await held()];
        """,
    )

    assert found == [1, 1, [1, 1, 1, 5000]]


def test_what_still_fails_is_thrown_and_never_called_saved(page):
    found = run(
        page,
        """
        const real = IDBDatabase.prototype.transaction;
        IDBDatabase.prototype.transaction = () => {
          throw new DOMException("closing", "InvalidStateError");
        };
        const said = await enter(first).catch((error) => error.name);
        IDBDatabase.prototype.transaction = real;
        return [said, await held()];
        """,
    )

    assert found == ["InvalidStateError", [0, 0, 0, 0]]


def test_a_photo_that_reads_back_otherwise_is_not_called_saved(page):
    found = run(
        page,
        """
        const lying = makeStore({ indexedDB, name, hash: async () => "0".repeat(64) });
        return enter(lying).then(() => "saved", (error) => error.message);
        """,
    )

    assert found == "The photo could not be read back from this phone."


def test_outbox_writes_are_asked_to_be_on_disk(page):
    found = run(
        page,
        """
        const real = IDBDatabase.prototype.transaction;
        const asked = new Set();
        IDBDatabase.prototype.transaction = function (stores, mode, options) {
          if (mode === "readwrite") asked.add(options?.durability);
          return real.call(this, stores, mode, options);
        };
        await enter(first);
        await first.write({ meta: (await first.load()).meta });
        IDBDatabase.prototype.transaction = real;
        return [...asked];
        """,
    )

    assert found == ["strict"]


def test_one_sequence_for_two_tabs_and_the_same_photo_once(page):
    found = run(
        page,
        """
        const other = fresh();
        const entries = await Promise.all(
          [enter(first), enter(other), enter(first), enter(other)]);
        return [entries.map((one) => one.seq).sort(), await held()];
        """,
    )

    assert found == [[1, 2, 3, 4], [4, 4, 1, 5000]]


def test_an_outcome_does_not_undo_what_another_tab_entered_meanwhile(page):
    found = run(
        page,
        """
        await enter(first);
        const box = await first.load();
        await enter(fresh());
        await first.write({ meta: { ...box.meta, fails: 3 } });
        const { meta } = await first.load();
        return [meta.seq, meta.fails, meta.current];
        """,
    )

    assert found == [2, 3, "7"]


def test_the_phone_keeps_bytes_not_blobs(page):
    found = run(
        page,
        """
        await enter(first);
        return Object.prototype.toString.call(await first.bytesOf(photo.sha256));
        """,
    )

    assert json.dumps(found) == '"[object ArrayBuffer]"'


def test_on_a_full_phone_ticks_still_save_and_no_photo_is_half_kept(page):
    found = run(
        page,
        """
        const real = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (value, ...key) {
          if (this.name === "bytes") {
            this.transaction.abort();
            throw new DOMException("full", "QuotaExceededError");
          }
          return real.call(this, value, ...key);
        };
        const said = await enter(first).catch((error) => error.name);
        const tick = await first.enter((box) => makeEntry(box,
          { kind: "tick", lot: 1, target: "item:1" }, { id: "tick", now: 0 }));
        IDBObjectStore.prototype.put = real;
        return [said, tick.kind, await held()];
        """,
    )

    assert found == ["QuotaExceededError", "tick", [1, 1, 0, 0]]
