// A filter that is changed is applied at once.
for (const form of document.querySelectorAll("form[data-on-change]")) {
  for (const button of form.querySelectorAll("[data-not-needed]")) button.hidden = true;
  form.addEventListener("change", () => form.requestSubmit());
}
