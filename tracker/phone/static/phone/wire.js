// The network: the only module that fetches. A reply is { status, body }, body being
// the parsed JSON or null; no network, a timeout or a redirect throws.

const PATIENCE = 20_000; // ms before a stalled request is given up and asked again

export function makeWire({
  base, fetch, tokenOf, bytesOf, hash, patience = PATIENCE, clock = Date.now,
  waitingOf = () => null,
}) {
  async function ask(path, { member, ...options } = {}) {
    const headers = { Accept: "application/json", ...options.headers };
    const token = member === undefined ? null : tokenOf(member);
    if (token) headers.Authorization = `Bearer ${token}`;
    // Should this phone be lost or cleared, the office knows what was still on it.
    const waiting = token ? waitingOf(member) : null;
    if (waiting !== null) headers["X-Waiting"] = String(waiting);
    const reply = await fetch(`${base}${path}`, {
      ...options, headers, cache: "no-store", redirect: "error", credentials: "omit",
      signal: AbortSignal.timeout(patience),
    });
    return { status: reply.status, body: await jsonOf(reply) };
  }

  const post = (path, body, member) => ask(path, {
    method: "POST", member, body: JSON.stringify(body),
    headers: { "Content-Type": "application/json" },
  });

  async function chunk(request) {
    const whole = await bytesOf(request.sha256);
    const part = whole.slice(request.offset, request.offset + request.size);
    const query = new URLSearchParams({
      offset: request.offset, length: request.length, type: request.type,
      taken: request.takenAt ?? "", chunk: await hash(part),
    });
    return ask(`uploads/${request.sha256}/?${query}`, {
      method: "PATCH", member: request.member, body: part,
      headers: { "Content-Type": "application/octet-stream" },
    });
  }

  async function file(path, member) {
    const reply = await fetch(`${base}${path}`, {
      headers: { Authorization: `Bearer ${tokenOf(member)}` },
      cache: "no-store", redirect: "error", credentials: "omit",
      signal: AbortSignal.timeout(3 * patience),
    });
    return { status: reply.status, type: reply.headers.get("Content-Type"),
      bytes: await reply.arrayBuffer() };
  }

  /** Send what the outbox asks for. */
  async function send(request) {
    if (request.kind === "operations") {
      // The phone's own clock goes along, so that the server sees how far it is off.
      const sent_at = new Date(clock()).toISOString();
      return post("operations/", { operations: request.ops, sent_at }, request.member);
    }
    if (request.kind === "chunk") return chunk(request);
    // A cache may answer a plain GET: the query makes each one new.
    const fresh = Math.random().toString(36).slice(2);
    const path = `uploads/${request.sha256}/?length=${request.length}&fresh=${fresh}`;
    return ask(path, { member: request.member });
  }

  const get = (path, member) => ask(path, { member });
  return { send, get, post, file };
}

async function jsonOf(reply) {
  try {
    const body = await reply.json();
    return typeof body === "object" ? body : null;
  } catch (error) {
    if (error.name === "AbortError" || error.name === "TimeoutError") throw error;
    return null; // a page, not an answer of ours
  }
}
