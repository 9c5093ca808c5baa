// Corrections: sent to whoever owes them, with a photo, and put right with one.

import { app, both, enter, owed, t } from "./app.js";
import { takePhotos } from "./camera.js";
import { button, h } from "./dom.js";
import { draftOf, thumbnails } from "./item.js";
import { reasonSheet } from "./reason.js";
import { localOf } from "./view.js";
import { showDay } from "./when.js";

/** Ask what is wrong with an item; `draft` is what stood here when the page died. */
export function correctionSheet(lot, item, draft = {}) {
  const known = { what: "walk_correction", lot: lot.id, item: item.id };
  reasonSheet(`${t("correction")}: ${both(item.text)}`, ({ owed_by, text, text_es, photo }) => {
    const payload = { owed_by, text, ...(text_es ? { text_es } : {}) };
    return enterWith(photo, draftOf(lot, item, "walk_correction", payload));
  }, { draft: { ...draft, ...known } });
}

/** Enter something that may have a photo; it goes when the photo's bytes have gone. */
export function enterWith(photo, draft) {
  if (!photo) return enter(draft);
  const { sha256, takenAt } = photo;
  const payload = { ...draft.payload, sha: sha256, taken_at: takenAt };
  return enter({ ...draft, payload, sha256 }, photo);
}

/** The lot's open corrections; ours can be put right, with or without a photo. */
export function corrections(lot) {
  if (!lot.corrections.length) return null;
  return [h("h2", {}, t("corrections")), lot.corrections.map((one) => row(lot, one))];
}

function row(lot, one) {
  const target = `correction:${one.id}`;
  const own = localOf(app.box.entries, lot.id, target)
    .filter((entry) => entry.kind === "correction_done" && entry.state !== "refused");
  const photos = [...new Set([...(one.photos ?? []),
    ...own.map((entry) => entry.sha256).filter(Boolean)])];
  const done = { kind: "correction_done", lot: lot.id, target, payload: {} };
  const put = one.ours && (one.state === "open" || own.length > 0);
  return h("div", { class: "row", "data-correction": one.id },
    h("strong", {}, app.lang === "es" && one.text_es ? one.text_es : one.text),
    h("span", { class: "quiet" }, [owed(one.owed_by),
      one.due_on ? t("due", { day: showDay(one.due_on) }) : null,
      one.state === "done" || own.length ? t("correction_done") : null]
      .filter(Boolean).join(" · ")),
    thumbnails(photos, one),
    put ? h("div", { class: "acts" },
      own.length ? null
        : button(t("correction_done"), () => enter(done), { kind: "act main" }),
      button(t("done_with_photo"), () => takePhotos((photo) => enterWith(photo, done)),
        { kind: "act" })) : null);
}
