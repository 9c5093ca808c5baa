// My days: what the published plan tells this crew, and what is new in it.

import { app, both, enter, go, lotOf, me, person, t, today } from "./app.js";
import { button, h } from "./dom.js";
import { whereIs } from "./outbox.js";
import { showDay } from "./when.js";

const MARKS = { phone: "on_phone", sent: "sent" };

export function daysScreen() {
  const plan = app.pulled?.plan ?? { days: [], news: null, number: null };
  const rows = [];
  let last = null;
  for (const job of plan.days) {
    const day = job.start < today() ? today() : job.start;
    if (day !== last) rows.push(h("h2", {}, dayWords(day)));
    last = day;
    rows.push(jobRow(job));
  }
  const body = h("div", { class: "list" }, newsPanel(plan.news), rows,
    rows.length ? null : h("p", {}, t(plan.number ? "no_days" : "no_plan")),
    plan.number ? h("p", { class: "quiet" }, t("plan_number", { number: plan.number }))
      : null);
  return { title: t("my_days"), back: { screen: "lots" }, body };
}

/** "Today", else the day of the week with its date. */
export function dayWords(day) {
  return day === today() ? [t("today"), ", ", showDay(day)] : showDay(day);
}

function jobRow(job) {
  const words = [
    h("strong", {}, both(job.name), " · ", both(job.phase)),
    h("span", {}, [job.subdivision, job.address].filter(Boolean).join(" · ")),
    h("span", { class: "quiet" }, timeWords(job)),
    job.helps ? h("span", {}, t("helping")) : null,
  ];
  if (lotOf(job.lot)) {
    return button(words, () => go({ screen: "lot", lot: job.lot, from: "days" }),
      { kind: "row", "data-job": job.lot });
  }
  return h("div", { class: "row", "data-job": job.lot }, words,
    h("span", { class: "quiet" }, t("lot_comes_later")));
}

function timeWords(job) {
  const half = job.working ? t("at_work") : t(job.half ? "afternoon" : "morning");
  return job.end > job.start ? `${half} · ${t("until_day", { day: showDay(job.end) })}`
    : half;
}

/** What changed since the lead last said that he has seen it. */
function newsPanel(news) {
  if (!news) return null;
  return h("section", { class: "banner news", "data-news": news.notice },
    h("h2", {}, t("days_changed")),
    news.changes.length
      ? h("ul", { class: "facts" }, news.changes.map((one) => h("li", {},
        h("strong", {}, both(one.name), " · ", both(one.phase)), h("br"),
        one.subdivision, h("br"), changeWords(one))))
      : h("p", {}, t("there_and_back")),
    seenButton(news));
}

function changeWords({ was, now }) {
  const at = (told) => `${showDay(told.start)}, ${t(told.half ? "afternoon" : "morning")}`;
  const after = !now ? t("later_untold") : now.ours ? at(now) : t("another_crew");
  if (now?.helps) return `${t("helping")}: ${showDay(now.start)}`;
  if (!was) return `${t("new_work")}: ${after}`;
  return `${was.ours ? at(was) : t("another_crew")} → ${after}`;
}

/** The acknowledgement of this notice that waits here or was sent, or null. */
function said(news) {
  return app.box.entries.find((one) => one.kind === "plan_seen" &&
    one.target === `notice:${news.notice}` && one.member === me() &&
    one.state !== "refused") ?? null;
}

function seenButton(news) {
  if (person()?.role !== "lead") return h("p", {}, t("lead_says_seen"));
  const own = said(news);
  if (own) {
    const where = whereIs(own);
    return h("p", {}, t("you_have_seen"),
      h("em", { class: `mark ${where}` }, t(MARKS[where])));
  }
  return button(t("i_have_seen"), () => enter({ kind: "plan_seen", lot: null,
    target: `notice:${news.notice}` }), { kind: "act main wide seen" });
}

/** For the first screen: the way to my days, loud while something new is unseen. */
export function daysButton() {
  const plan = app.pulled?.plan;
  if (!plan) return null;
  const news = plan.news && !said(plan.news);
  const first = plan.days.length ? both(plan.days[0].name) : "";
  return button(
    [h("strong", {}, t("my_days")),
      h("span", {}, news ? t("days_changed") : t("days_told", { count: plan.days.length })),
      news || !first ? null : h("span", { class: "quiet" }, t("next_is", { name: first }))],
    () => go({ screen: "days" }),
    { kind: news ? "row loud" : "row", "data-days": "true" });
}
