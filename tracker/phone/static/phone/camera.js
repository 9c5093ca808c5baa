// Photos: several at once, each saved as its own entry as soon as it is there.

import { app, store, t } from "./app.js";
import { h } from "./dom.js";
import { sha256 } from "./uuid.js";

/** Open the camera; the place on the page is saved before, so a killed page returns. */
export async function takePhotos(place, save) {
  await store.change("places", { put: [["place", place]] });
  const input = h("input", { type: "file", accept: "image/*", capture: "environment",
    multiple: true, class: "camera" });
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
