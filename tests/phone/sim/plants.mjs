// Bugs planted in the phone's scripts: file, then pairs of what stands there and what
// is put instead.

export const PLANTS = {
  remove_before_receipt: ["sender.js", "  let reply = null;",
    `  let reply = null;
  if (request.ops) await store.write({ dropEntries: request.ops.map((op) => op.seq) });`],
  any_200_counts: ["outbox.js", "  if (!ours) return backOff(box, { now, random });",
    `  if (!ours && reply.status === 200 && request.ops) {
    const sent = new Set(request.ops.map((op) => op.id));
    return changes(box.meta, { entries: box.entries.filter((one) => sent.has(one.id))
      .map((one) => ({ ...one, state: "sent", settledAt: now })) });
  }
  if (!ours) return backOff(box, { now, random });`],
  sent_as_current: ["outbox.js", "seq: entry.seq, member: entry.member, kind: entry.kind,",
    "seq: entry.seq, member: box.meta.current, kind: entry.kind,",
    "return { kind: \"operations\", member, ops };",
    "return { kind: \"operations\", member: box.meta.current, ops };",
    "(entry) => entry.member === member && entry.state === \"waiting\" &&\n        photoReady",
    "(entry) => entry.state === \"waiting\" && photoReady"],
  bytes_dropped_at_upload: ["outbox.js",
    "if (body.state === \"there\") return put({ state: \"there\", offset: photo.size });",
    "if (body.state === \"there\") return { ...put({ state: \"there\" }), dropBytes: [photo.sha256] };"],
  forgets_order: ["outbox.js", "after: here.has(entry.after) ? entry.after : null,",
    "after: null,"],
  waits_for_ever: ["outbox.js", "const most = Math.min(LONGEST_WAIT, 1000 * 2 ** Math.min(fails, 10));",
    "const most = 1000 * 4 ** fails;", "if (wait > 0 && wait <= LONGEST_WAIT) return null;",
    "if (wait > 0) return null;"],
};
