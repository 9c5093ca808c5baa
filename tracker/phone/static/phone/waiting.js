// Everything entered on this phone with its honest state, and who is signed in.

import { app, both, count, go, lotName, lotOf, me, person, sendSoon, signOut, switchTo, t,
} from "./app.js";
import { button, h } from "./dom.js";
import { whereIs } from "./outbox.js";
import { when } from "./when.js";

const WORDS = { phone: "on_phone", sent: "sent", refused: "refused" };

export function waitingScreen() {
  const own = app.box.entries.filter((one) => one.member === me()).reverse();
  const { sealed, waiting } = count();
  const others = Object.values(app.box.meta.people).filter((one) => one.id !== me());
  const body = h("div", { class: "list" },
    h("p", {}, t("who", { name: person().name })),
    h("div", { class: "acts" },
      button(t("send_now"), () => sendSoon(), { kind: "act main" }),
      others.map((one) => button(one.name, () => switchTo(one.id), { kind: "act" })),
      button(t("switch_person"), () => go({ screen: "enrol" }), { kind: "act" }),
      button(t("sign_out"), () => leave(waiting), { kind: "act" })),
    sealed ? h("p", { class: "banner news" }, t("sealed")) : null,
    own.length ? own.map(entryRow) : h("p", {}, t("nothing_entered")));
  return { title: t("waiting_title"), back: { screen: "lots" }, body };
}

function entryRow(entry) {
  const where = whereIs(entry);
  return h("div", { class: `row entry ${where}`, "data-entry": entry.id,
    "data-state": where },
  h("strong", {}, t(`kind_${entry.kind}`)),
  h("span", {}, [placeOf(entry), itemWords(entry)].filter(Boolean).join(" · ")),
  h("span", { class: "quiet" }, when(entry.at)),
  h("em", { class: `mark ${where}` }, t(WORDS[where])),
  where === "refused"
    ? h("span", { class: "reason" },
      both(entry) || t(entry.code === "photo_gone" ? "photo_gone" : "unreadable"), " ",
      t("refused_kept"))
    : null);
}

function placeOf(entry) {
  const lot = lotOf(entry.lot);
  return lot ? lotName(lot) : "";
}

function itemWords(entry) {
  const id = Number(entry.target?.replace(/^item:/, ""));
  const item = lotOf(entry.lot)?.rooms.flatMap((room) => room.items)
    .find((one) => one.id === id);
  return item ? both(item.text) : "";
}

/** Signing out never drops work: it stays sealed, and that is said first. */
function leave(waiting) {
  const ask = waiting ? t("sign_out_waiting", { count: waiting }) : t("sign_out_sure");
  if (window.confirm(ask)) signOut();
}
