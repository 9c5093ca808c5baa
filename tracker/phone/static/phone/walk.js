// The lead's walk: the same rooms in walk order, good or a correction for each item.

import { app, both, enter, go, lotOf, t } from "./app.js";
import { correctionSheet } from "./correction.js";
import { button, h } from "./dom.js";
import { draftOf } from "./item.js";
import { itemView } from "./view.js";

const WALKED = ["walk_good", "walk_correction"];

export function walkScreen({ lot: id, room: place }) {
  const lot = lotOf(id);
  const back = { screen: "lot", lot: id };
  if (!lot) return { title: t("walk"), back, body: h("p", {}, t("removed_lot")) };
  const room = lot.rooms[place];
  if (!room) return { title: t("walk"), back, body: h("p", {}, t("walk_done")) };
  const next = () => go({ screen: "walk", lot: id, room: place + 1 });
  const body = h("div", { class: "list" },
    h("p", { class: "quiet" }, `${place + 1} / ${lot.rooms.length}`),
    room.items.map((item) => walkRow(lot, item)),
    button(t("next_room"), next, { kind: "act wide main" }));
  return { title: `${t("walk")}: ${both(room.name)}`, back, body };
}

function walkRow(lot, item) {
  const target = `item:${item.id}`;
  const own = app.box.entries.filter((one) =>
    one.lot === lot.id && one.target === target && WALKED.includes(one.kind) &&
    one.state !== "refused");
  const walked = own.length ? own[own.length - 1].kind : (item.walked ?? null);
  const seen = itemView(item, app.box.entries, lot.id);
  const press = (kind) => ({ kind: "act", "aria-pressed": String(walked === kind) });
  return h("div", { class: "row walk", "data-item": item.id },
    h("span", { class: "grow" },
      item.look_first ? h("em", { class: "mark refused" }, t("look_first")) : null,
      h("strong", {}, both(item.text)),
      h("span", {}, both(item.where)), h("span", { class: "target" }, both(item.target)),
      h("span", { class: "quiet" }, t(`state_${seen.state}`))),
    h("div", { class: "acts" },
      button(t("good"), () => enter(draftOf(lot, item, "walk_good")), press("walk_good")),
      button(t("correction"), () => correctionSheet(lot, item),
        press("walk_correction"))));
}
