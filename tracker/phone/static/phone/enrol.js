// The office's code lets this phone in, once, for one person.

import { app, enrol, go, me, reload, sendSoon, t } from "./app.js";
import { h } from "./dom.js";

export function enrolScreen({ code = "" }) {
  const typed = h("input", { name: "code", value: code, autocapitalize: "off",
    autocomplete: "one-time-code", spellcheck: "false", required: true, maxlength: 64 });
  const name = h("input", { name: "name", value: phoneName(), maxlength: 80,
    required: true });
  const said = h("p", { class: "verdict bad", role: "alert" });
  const form = h("form", { class: "one" },
    h("p", {}, t("enrol_help")), h("label", {}, t("code"), typed),
    h("label", {}, t("phone_name"), name), said,
    h("button", { type: "submit", class: "act main wide" }, t("enrol")));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    letIn(typed.value.trim(), name.value.trim(), said);
  });
  const back = me() === null ? null : { screen: "lots" };
  return { title: t("enrol_title"), back, body: form };
}

async function letIn(code, name, said) {
  try {
    await enrol(code, name);
  } catch (error) {
    said.textContent = error instanceof TypeError ? t("no_signal") : error.message;
    return;
  }
  await reload();
  await go({ screen: "lots" });
  app.draw();
  sendSoon();
}

function phoneName() {
  const known = /(iPhone|iPad|Android|Windows|Mac)/.exec(navigator.userAgent);
  return known ? known[1] : t("phone_word");
}
