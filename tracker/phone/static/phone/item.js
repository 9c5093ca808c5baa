// One item: what, where, target from the stud; tick, measure, photo, test, note,
// not done because, undo.

import { app, both, enter, go, lotOf, me, person, store, t } from "./app.js";
import { takePhotos } from "./camera.js";
import { button, h } from "./dom.js";
import { measureSheet, shown } from "./pad.js";
import { reasonSheet, textSheet } from "./reason.js";
import { itemView, localOf, undoable } from "./view.js";
import { when } from "./when.js";

const MARKS = { phone: "on_phone", sent: "sent", refused: "refused" };
const SHAPES = { open: "○", proven: "●", failed: "✕", not_done: "–", conflict: "≠",
  rejected: "✕" };

/** The row of an item: the words open it, the big button proves it. */
export function itemRow(lot, room, item) {
  const seen = itemView(item, app.box.entries, lot.id);
  const open = () => go({ screen: "item", lot: lot.id, room: room.key, item: item.id });
  return h("div", { class: "row item", "data-item": item.id, "data-state": seen.state },
    h("button", { type: "button", class: "words", onclick: open },
      h("strong", {}, both(item.text)), h("span", {}, both(item.where)),
      h("span", { class: "target" }, aim(item)), state(seen)),
    mainAction(lot, item, seen, open));
}

/** The target with its tolerance, or the limits of a reading that has no target. */
const aim = (item) => [both(item.target), both(item.tolerance)].filter(Boolean).join(" ");

function state(seen) {
  const local = seen.local ? t(`kind_${seen.local.kind}`) : null;
  const words = local ?? t(`state_${seen.state}`);
  const shape = local ? "◐" : SHAPES[seen.state];
  return h("span", { class: `state ${seen.state}` }, `${shape} ${words} `,
    seen.mark ? h("em", { class: `mark ${seen.mark}` }, t(MARKS[seen.mark])) : null);
}

function mainAction(lot, item, seen, open) {
  const words = { measure: t("measure"), photo: t("photo"), test: t("test_passed") };
  const act = {
    measure: () => measureSheet(lot, item),
    photo: () => camera(lot, item),
    test: open,
  }[item.proof] ?? (() => enter(draftOf(lot, item, "tick")));
  const done = seen.state === "proven" || seen.answered;
  // What is done already opens, so that a second touch does not enter it twice.
  return button(done ? "✓" : (words[item.proof] ?? t("tick")), done ? open : act,
    { kind: done ? "prove done" : "prove", "aria-label":
      `${words[item.proof] ?? t("tick")}: ${both(item.text)}` });
}

export const draftOf = (lot, item, kind, payload = {}) => ({
  kind, lot: lot.id, target: `item:${item.id}`, version: item.version, payload,
});

function camera(lot, item) {
  return takePhotos((photo) =>
    enter({ ...draftOf(lot, item, "photo", { sha: photo.sha256,
      taken_at: photo.takenAt }), sha256: photo.sha256 }, photo));
}

export function itemScreen({ lot: lotId, room, item: itemId }) {
  const lot = lotOf(lotId);
  const item = lot?.rooms.flatMap((one) => one.items).find((one) => one.id === itemId);
  const back = room === "walk" ? { screen: "walk", lot: lotId, room: 0 }
    : { screen: "room", lot: lotId, room };
  if (!item) return { title: t("rooms"), back, body: h("p", {}, t("removed_lot")) };
  const seen = itemView(item, app.box.entries, lot.id);
  const body = h("article", { class: "one" },
    h("p", { class: "where" }, both(item.where)),
    h("ul", { class: "facts" },
      both(item.target) ? row("from_stud", { target: both(item.target) }) : null,
      item.tolerance ? row("tolerance", { text: both(item.tolerance) }) : null,
      seen.value !== null
        ? row("measured", { value: shown(seen.value, item) }) : null,
      item.photos_needed ? row("photos_needed",
        { have: seen.photos.length, need: item.photos_needed }) : null),
    h("p", {}, state(seen)), thumbnails(seen.photos, item), actions(lot, item, seen),
    h("h2", {}, t("history")), history(lot, item));
  return { title: both(item.text), back, body };
}

const row = (key, fill) => h("li", {}, t(key, fill));

/** What proves the item comes first and stands out; what cannot prove it is left out. */
function actions(lot, item) {
  const put = (kind, payload) => enter(draftOf(lot, item, kind, payload));
  const taken = undoable(item, app.box.entries, lot.id, me());
  const by = (proof) => ({ kind: item.proof === proof ? "act main" : "act" });
  const { proof } = item;
  return h("div", { class: "acts" },
    proof === "test" ? [
      button(t("test_passed"), () => put("test", { passed: true }), by("test")),
      button(t("test_failed"), () => put("test", { passed: false }), by("")),
    ] : null,
    ["measure", "photo", "test"].includes(proof) ? null
      : button(t("tick"), () => put("tick"), { kind: "act main" }),
    item.unit ? button(t("measure"), () => measureSheet(lot, item), by("measure")) : null,
    button(t("photo"), () => camera(lot, item), by("photo")),
    button(t("note"), () => textSheet(t("note"), (text) => put("note", { text })),
      { kind: "act" }),
    button(t("not_done"), () => reasonSheet(t("not_done"), ({ owed_by, text }) =>
      put("not_done", { owed_by, text })), { kind: "act" }),
    taken ? button(t("undo"), () => put("undo", { of: taken }), { kind: "act" }) : null);
}

/** Own photos from the phone's bytes, the server's as stored thumbnails. */
export function thumbnails(photos, item) {
  const strip = h("div", { class: "thumbs" });
  const urls = new Map((item.thumbnails ?? []).map((url) => [shaIn(url), url]));
  for (const sha of photos) {
    const image = h("img", { alt: t("photo"), width: 96, height: 96, "data-sha": sha });
    strip.append(image);
    show(image, sha, urls.get(sha));
  }
  return strip;
}

const shaIn = (url) => /[0-9a-f]{64}/.exec(url)?.[0];

async function show(image, sha, url) {
  const kept = url ? await store.get("files", url) : null;
  const bytes = kept?.bytes ?? (await store.bytesOf(sha));
  if (bytes) image.src = URL.createObjectURL(new Blob([bytes], { type: kept?.type }));
}

function history(lot, item) {
  const known = (item.answers ?? []).map((one) => one.op);
  const local = localOf(app.box.entries, lot.id, `item:${item.id}`, known);
  if (!local.length && !item.answers?.length) {
    return h("p", { class: "quiet" }, t("nothing_entered"));
  }
  return h("ul", { class: "history" },
    (item.answers ?? []).map((one) => h("li", {},
      `${one.by} · ${when(one.at)} · ${said(one.answer, one, item)}`,
      one.undone ? ` (${t("undone")})` : rejectButton(lot, item, one))),
    local.map((one) => h("li", { class: one.state },
      `${when(one.at)} · ${said(one.kind, one.payload, item)} `,
      h("em", { class: `mark ${one.state === "waiting" ? "phone" : one.state}` },
        t(one.state === "waiting" ? "on_phone" : one.state)),
      one.state === "refused" ? ` ${both(one)}` : null)));
}

/** A lead rejects another's proof with a reason, which shuts the gate again. */
function rejectButton(lot, item, answer) {
  const proof = ["tick", "measure", "photo", "test"].includes(answer.answer);
  const told = app.box.entries.some((one) => one.kind === "reject" &&
    one.payload.of === answer.op && one.state !== "refused");
  if (person()?.role !== "lead" || answer.mine || !proof || told) return null;
  return button(t("reject"), () => textSheet(t("why_rejected"), (reason) =>
    enter(draftOf(lot, item, "reject", { of: answer.op, reason }))), { kind: "act reject" });
}

function said(kind, payload, item) {
  const value = payload.value ?? null;
  const more = value === null ? (payload.text ?? payload.reason ?? "")
    : shown(value, item);
  return [t(`kind_${kind}`), more].filter(Boolean).join(": ");
}
