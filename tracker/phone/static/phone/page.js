// Starts the page, draws the frame round each screen, and sends whenever it may.

import { app, count, go, lotOf, me, reload, sendSoon, setLanguage, skew, store, t, today,
} from "./app.js";
import { correctionSheet } from "./correction.js";
import { daysScreen } from "./days.js";
import { button, h } from "./dom.js";
import { enrolScreen } from "./enrol.js";
import { keptDraft } from "./draft.js";
import { itemScreen } from "./item.js";
import { lotScreen, lotsScreen, roomScreen } from "./lots.js";
import { resultSheet } from "./result.js";
import { waitingScreen } from "./waiting.js";
import { walkScreen } from "./walk.js";
import { showDay, span } from "./when.js";

const SCREENS = {
  lots: lotsScreen, lot: lotScreen, room: roomScreen, item: itemScreen,
  walk: walkScreen, days: daysScreen, waiting: waitingScreen, enrol: enrolScreen,
};
const CLOCK_MATTERS = 120_000; // ms; the server puts times right from here on
const EVERY = 15_000; // ms between two looks whether something waits
let persistent = true;

let typing = null; // the place whose form is shown and may hold typed words

function draw() {
  const screen = me() === null ? "enrol" : app.place.screen;
  const form = screen === "enrol" ? [app.place, app.lang, me(), app.broken] : null;
  // What comes and goes in the background must not wipe a code half typed.
  if (form && typing?.every((one, place) => one === form[place])) return;
  typing = form;
  const { title, back = null, body } = (SCREENS[screen] ?? lotsScreen)(app.place);
  document.title = `${title} · ${t("app_name")}`;
  const main = h("main", { "data-screen": screen }, banners(), body);
  document.getElementById("phone").replaceChildren(head(title, back), main);
  // While nothing can be kept, nothing may be entered.
  if (app.broken) {
    main.querySelectorAll("button, input, textarea").forEach((one) => {
      one.disabled = true;
    });
  }
}

function head(title, back) {
  // Deeper screens leave the room to the name of the place.
  const languageToo = back === null || app.place.screen === "waiting";
  return h("header", {},
    back ? button("‹", () => go(back), { kind: "back", "aria-label": t("back") }) : null,
    h("h1", {}, title),
    me() === null ? null : chip(),
    languageToo
      ? button(t("language"), otherLanguage, { kind: "language" }) : null);
}

function otherLanguage() {
  setLanguage(app.lang === "en" ? "es" : "en").then(draw);
}

/** The honest state of everything entered on this phone. */
function chip() {
  const { waiting, refused, sealed } = count();
  const words = [];
  if (refused) words.push(t("refused_count", { count: refused }));
  if (waiting) words.push(t("wait_count", { count: waiting }));
  if (sealed) words.push(t("sealed_count", { count: sealed }));
  const state = refused ? "refused" : waiting || sealed ? "phone" : "sent";
  return button(words.join(" · ") || t("all_sent"), () => go({ screen: "waiting" }),
    { kind: `chip ${state}`, "data-state": state });
}

function banners() {
  const said = [];
  const tell = (kind, words, action = null) =>
    said.push(h("p", { class: `banner ${kind}`, role: "status" }, words, action));
  if (app.broken) tell("bad", t("storage_failed"));
  if (app.notice) tell("bad", app.notice);
  if (!window.isSecureContext) tell("bad", t("insecure"));
  if (me() !== null && app.box.meta.signIn.includes(me())) {
    tell("bad", t("sign_in_again"),
      button(t("enrol"), () => go({ screen: "enrol" }), {}));
  }
  if (app.updated) {
    tell("news", null, button(t("new_version"), () => app.updated(), {}));
  }
  if (me() !== null && app.place.screen === "lots") tell(...completeness());
  if (me() !== null && Math.abs(skew()) > CLOCK_MATTERS) {
    tell("bad", t(skew() > 0 ? "clock_slow" : "clock_fast", { off: span(skew()) }));
  }
  if (me() !== null && app.place.screen === "lots" && !persistent) {
    tell("news", t("not_persistent"));
  }
  return said;
}

/** Until which day everything needed is on this phone, and no later. */
function completeness() {
  if (!app.pulled) return ["bad", t("never_complete")];
  if (app.missing.length) return ["bad", t("incomplete", { missing: app.missing.length })];
  const day = showDay(app.pulled.until);
  const past = app.pulled.until < today();
  return past ? ["bad", t("complete_past", { day })] : ["good", t("complete_until", { day })];
}

async function registerWorker() {
  if (!("serviceWorker" in navigator)) return;
  const registration = await navigator.serviceWorker.register("/sw.js",
    { updateViaCache: "none" });
  let asked = false;
  const offer = (worker) => {
    app.updated = () => { asked = true; worker.postMessage("take over"); };
    draw();
  };
  if (registration.waiting && navigator.serviceWorker.controller) {
    offer(registration.waiting);
  }
  registration.addEventListener("updatefound", () => {
    const worker = registration.installing;
    worker.addEventListener("statechange", () => {
      const update = worker.state === "installed" && navigator.serviceWorker.controller;
      if (update) offer(worker);
    });
  });
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (asked) location.reload();
  });
}

function enrolCode() {
  const match = /^#enrol=([\w-]+)$/.exec(location.hash);
  if (!match) return null;
  history.replaceState(null, "", location.pathname);
  return match[1];
}

/** A question that was open when the phone killed the page stands open again. */
async function resume() {
  const draft = await keptDraft();
  const lot = draft && lotOf(draft.lot);
  if (!lot || me() === null) return;
  if (draft.what === "walk_correction") {
    const item = lot.rooms.flatMap((room) => room.items).find((one) => one.id === draft.item);
    if (item) correctionSheet(lot, item, draft);
  } else {
    const phase = lot.phases.find((one) => one.id === draft.phase);
    if (phase) resultSheet(lot, phase, draft);
  }
}

async function start() {
  app.draw = draw;
  try {
    app.lang = (await store.get("places", "lang")) ?? document.documentElement.lang;
    await reload();
    app.place = (await store.get("places", "place")) ?? app.place;
  } catch {
    app.broken = true;
    app.box ??= { meta: { people: {}, current: null, signIn: [] }, entries: [],
      photos: [] };
  }
  document.documentElement.lang = app.lang;
  const code = enrolCode();
  if (code) app.place = { screen: "enrol", code };
  draw();
  await resume().catch(() => {});
  registerWorker().catch(() => {});
  persistent = (await navigator.storage?.persist?.()) ?? false;
  window.addEventListener("online", () => sendSoon());
  navigator.serviceWorker?.addEventListener("message", () => sendSoon());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") sendSoon();
  });
  setInterval(() => sendSoon({ eager: false }), EVERY);
  await sendSoon();
}

start();
