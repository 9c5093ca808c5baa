// The phone's database in memory, with store.js's interface. A transaction is all or
// nothing, as IndexedDB's are; `killAt(n)` kills the page at its n-th write.

export class PageKilled extends Error {}

export function makeMemory(emptyBox) {
  const disk = { box: emptyBox(), bytes: new Map() };
  let left = 0;

  const copy = (value) => structuredClone(value);
  const step = () => {
    left -= 1;
    if (left === 0) throw new PageKilled();
  };

  /** Work on a copy; it becomes the disk only when all of it is done. */
  function inside(work) {
    const draft = { box: copy(disk.box), bytes: new Map(disk.bytes) };
    const answer = work(draft);
    step(); // the commit itself
    disk.box = draft.box;
    disk.bytes = draft.bytes;
    return answer;
  }

  const putIn = (rows, key, row) => {
    step();
    const place = rows.findIndex((one) => one[key] === row[key]);
    if (place < 0) rows.push(copy(row));
    else rows[place] = copy(row);
  };

  return {
    disk,
    killAt: (count) => { left = count; },
    async load() { return copy(disk.box); },
    async bytesOf(sha) { return disk.bytes.get(sha); },
    async enter(make, photo = null) {
      return inside((draft) => {
        const { entry, meta } = make(copy(draft.box));
        draft.box.meta = meta;
        if (photo) {
          const known = draft.box.photos.find((one) => one.sha256 === photo.sha256);
          if (!known || !draft.bytes.has(photo.sha256) || known.state === "refused") {
            const { bytes, ...row } = photo;
            putIn(draft.box.photos, "sha256",
              { ...row, offset: 0, asked: false, state: "waiting", code: null });
            draft.bytes.set(photo.sha256, bytes);
          }
        }
        putIn(draft.box.entries, "seq", entry);
        return entry;
      });
    },
    async write({ entries = [], photos = [], dropEntries = [], dropBytes = [], meta = null }) {
      inside((draft) => {
        for (const row of entries) putIn(draft.box.entries, "seq", row);
        for (const row of photos) putIn(draft.box.photos, "sha256", row);
        draft.box.entries = draft.box.entries.filter((e) => !dropEntries.includes(e.seq));
        for (const sha of dropBytes) draft.bytes.delete(sha);
        if (meta) {
          const { seq, people, current } = draft.box.meta;
          draft.box.meta = { ...copy(meta), seq, people, current };
        }
      });
    },
    async setPeople(change) {
      inside((draft) => {
        const meta = { ...draft.box.meta, waitUntil: 0 };
        draft.box.meta = { ...meta, ...change(copy(meta)) };
      });
    },
  };
}
