// Photos: several at once, each saved as its own entry as soon as it is there.

import { app, store, t } from "./app.js";
import { h } from "./dom.js";
import { sha256 } from "./uuid.js";

/** Open the camera; the place on the page is saved before, so a killed page returns. */
export async function takePhotos(save, { several = true } = {}) {
  await store.change("places", { put: [["place", app.place]] });
  const input = h("input", { type: "file", accept: "image/*", capture: "environment",
    multiple: several, class: "camera" });
  input.addEventListener("change", async () => {
    for (const file of input.files) await keep(file, save);
    input.remove();
  });
  document.querySelectorAll("input.camera").forEach((old) => old.remove());
  document.body.append(input);
  input.click();
}

async function keep(file, save) {
  if (!window.isSecureContext) {
    app.notice = t("insecure"); // without https the browser cannot hash the bytes
    app.draw();
    return;
  }
  const bytes = await file.arrayBuffer();
  if (bytes.byteLength === 0 || !/^(image\/|$)/.test(file.type)) {
    app.notice = t("not_a_picture");
    app.draw();
    return;
  }
  await save({
    bytes, sha256: await sha256(bytes), size: bytes.byteLength,
    type: file.type || "application/octet-stream",
    takenAt: new Date(file.lastModified).toISOString(),
  });
}

/** A button of a question that adds one photo to it; `state.photo` holds it. */
export function photoPart(state, keep) {
  const shown = h("span", { class: "thumbs" });
  const words = h("button", { type: "button", class: "act wide photo" });
  const trouble = h("p", { class: "verdict bad", role: "status" });
  const show = () => {
    words.textContent = t(state.photo ? "photo_again" : "add_photo");
    if (!state.photo) return;
    const { bytes, type } = state.photo;
    shown.replaceChildren(h("img", { alt: t("photo"), width: 96, height: 96,
      "data-sha": state.photo.sha256, src: URL.createObjectURL(new Blob([bytes], { type })) }));
  };
  words.addEventListener("click", async () => {
    await keep();
    await takePhotos(async (photo) => {
      const before = state.photo;
      state.photo = photo;
      try {
        await keep();
        trouble.textContent = "";
      } catch (error) {
        state.photo = before; // nothing half kept
        trouble.textContent = t(error.name === "QuotaExceededError" ? "storage_full"
          : "storage_failed");
      }
      show();
    }, { several: false });
  });
  show();
  return h("div", {}, words, trouble, shown);
}
