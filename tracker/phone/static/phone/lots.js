// My lots, one lot room by room, and one room item by item.

import { app, both, go, lotName, lotOf, owed, person, store, t } from "./app.js";
import { corrections } from "./correction.js";
import { daysButton, dayWords } from "./days.js";
import { button, h } from "./dom.js";
import { itemRow } from "./item.js";
import { phaseRows } from "./phase.js";
import { itemsLeft } from "./view.js";

export function lotsScreen() {
  const rows = [];
  let last;
  for (const lot of app.lots) {
    if (lot.day !== last) {
      rows.push(h("h2", {}, lot.day ? dayWords(lot.day) : t("waiting_lots")));
    }
    last = lot.day;
    rows.push(lotRow(lot));
  }
  const body = h("div", { class: "list" }, daysButton(),
    rows.length ? rows : h("p", {}, t(app.pulled ? "no_lots" : "loading")));
  return { title: t("my_lots"), body };
}

function lotRow(lot) {
  return button(
    [
      h("strong", {}, lotName(lot)),
      h("span", {}, [lot.subdivision, lot.address].filter(Boolean).join(" · ")),
      h("span", { class: "quiet" }, lot.phases.map((one) => both(one.name)).join(", ")),
      leftWords(lot.rooms.flatMap((room) => room.items), lot.id),
    ],
    () => go({ screen: "lot", lot: lot.id }), { kind: "row", "data-lot": lot.id },
  );
}

function leftWords(items, lotId) {
  const left = itemsLeft(items, app.box.entries, lotId);
  return h("span", { class: left ? "left" : "left done" },
    left ? t("items_left", { count: left }) : t("all_proven"));
}

export function lotScreen({ lot: id, from = "lots" }) {
  const lot = lotOf(id);
  const back = { screen: from };
  if (!lot) return { title: t("my_lots"), back, body: h("p", {}, t("removed_lot")) };
  const rooms = lot.rooms.map((room) => button(
    [h("strong", {}, both(room.name)), leftWords(room.items, lot.id)],
    () => go({ screen: "room", lot: id, room: room.key }), { kind: "row" },
  ));
  const body = h("div", { class: "list" },
    h("p", {}, [lot.subdivision, lot.address].filter(Boolean).join(" · ")),
    lot.gate_code ? h("p", {}, t("gate_code", { code: lot.gate_code })) : null,
    lot.key_note ? h("p", {}, t("key_note", { text: lot.key_note })) : null,
    lot.holds.map((hold) =>
      h("p", { class: "banner bad" }, t("holds", { text: hold.text, who: owed(hold.owed_by) }))),
    lot.sheets.filter((one) => one.newer).map((one) =>
      h("p", { class: "banner news" }, t("newer_sheet", { title: one.title }))),
    corrections(lot), h("h2", {}, t("rooms")), rooms, leadActions(lot), phaseRows(lot),
    sheets(lot));
  return { title: lotName(lot), back, body };
}

function leadActions(lot) {
  if (person()?.role !== "lead") return null;
  return button(t("walk"), () => go({ screen: "walk", lot: lot.id, room: 0 }),
    { kind: "act wide" });
}

function sheets(lot) {
  if (!lot.sheets.length) return null;
  return [
    h("h2", {}, t("sheets")),
    lot.sheets.map((sheet) => button(
      [h("strong", {}, sheet.title), h("span", { class: "quiet" }, sheet.dated)],
      () => openSheet(sheet), { kind: "row" })),
  ];
}

/** A sheet opens from the phone's own copy, so it opens without signal. */
async function openSheet(sheet) {
  const kept = await store.get("files", sheet.url);
  if (!kept) {
    app.notice = t("no_signal");
    app.draw();
    return;
  }
  const url = URL.createObjectURL(new Blob([kept.bytes], { type: kept.type }));
  window.open(url, "_blank");
}

export function roomScreen({ lot: id, room: key }) {
  const lot = lotOf(id);
  const room = lot?.rooms.find((one) => one.key === key);
  const back = { screen: "lot", lot: id };
  if (!room) return { title: t("rooms"), back, body: h("p", {}, t("removed_lot")) };
  const place = lot.rooms.indexOf(room);
  const next = lot.rooms[place + 1];
  const body = h("div", { class: "list" },
    room.items.map((item) => itemRow(lot, room, item)),
    next
      ? button([t("next_room"), ": ", both(next.name)],
        () => go({ screen: "room", lot: id, room: next.key }), { kind: "act wide" })
      : null);
  return { title: both(room.name), back, body };
}
