// An open question is kept on the phone as it stands, so that a page which the phone
// kills (the camera is open, the app is in the background) comes back to it.

import { me, store } from "./app.js";

export const keepDraft = (draft) =>
  store.change("places", { put: [["draft", { ...draft, member: me() }]] });
export const dropDraft = () => store.change("places", { drop: ["draft"] });

/** The question that was open, if it was this person's. */
export async function keptDraft() {
  const draft = await store.get("places", "draft");
  return draft && draft.member === me() ? draft : null;
}
