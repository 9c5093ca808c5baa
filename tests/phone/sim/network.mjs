// The network between one phone and the real server, with faults. Each fault counts
// itself when it really happened.

import net from "node:net";

const HTML = "<html><body>Sign in to the hotspot</body></html>";

export function makeNetwork({ port, dice, fired, trace }) {
  const state = { plan: null, late: [], header: {} };

  async function real(url, options, headers = {}) {
    return fetch(url, { ...options, headers: { ...options.headers, ...headers } });
  }

  /** What fetch would be on this phone. `state.plan` names the next request's fault. */
  async function faulty(url, options) {
    const plan = state.plan;
    const header = state.header;
    state.plan = null;
    state.header = {};
    const act = ACTS[plan];
    trace.push(`${options.method ?? "GET"} ${plan ?? "clean"}`);
    return act ? act(url, options, header) : real(url, options, header);
  }

  const said = (status, body, type) =>
    new Response(body, { status, headers: { "Content-Type": type } });

  const ACTS = {
    no_network: async () => { fired(8); throw new TypeError("fetch failed"); },
    lost_reply: async (url, options) => {
      await (await real(url, options)).text();
      fired(1);
      throw new TypeError("reply lost");
    },
    repeated: async (url, options) => {
      const times = 1 + dice.below(8);
      for (let n = 0; n < times; n += 1) await (await real(url, options)).text();
      fired(1);
      return real(url, options);
    },
    portal: async () => { fired(7); return said(200, HTML, "text/html"); },
    portal_json: async () => { fired(7); return said(200, "{\"ok\":true}", "application/json"); },
    redirect: async () => { fired(7); throw new TypeError("redirect"); },
    too_large_page: async () => { fired(7); return said(413, HTML, "text/html"); },
    stripped: async (url, options) => {
      fired(7);
      const { Authorization, ...headers } = options.headers;
      return fetch(url, { ...options, headers });
    },
    // A cache that answers a status question with what it knew before.
    stale: async (url, options) => {
      if (options.method) return real(url, options);
      const sha = /uploads\/(\w+)/.exec(url)?.[1];
      fired(7);
      return said(200, JSON.stringify({ from: "plumbrow", sha256: sha, state: "open",
        offset: 1, length: null }), "application/json");
    },
    flipped: async (url, options) => {
      if (options.method !== "PATCH") return real(url, options);
      const body = new Uint8Array(options.body.slice(0));
      body[dice.below(body.length)] ^= 1 << dice.below(8);
      fired(6);
      return real(url, { ...options, body });
    },
    cut: async (url, options) => {
      if (options.method !== "PATCH") return real(url, options);
      const length = options.body.byteLength;
      const at = dice.pick([0, 1, Math.max(0, length - 1), dice.below(length)]);
      await partly(url, options, at);
      fired(4);
      throw new TypeError("cut");
    },
    // The old connection is still half open when the new one writes the same place.
    two_writers: async (url, options) => {
      if (options.method !== "PATCH") return real(url, options);
      const half = Math.floor(options.body.byteLength / 2);
      const finish = await begin(url, options, half);
      const reply = await real(url, options);
      const copy = await reply.arrayBuffer();
      await finish();
      fired(5);
      return new Response(copy, { status: reply.status });
    },
    both_at_once: async (url, options) => {
      if (options.method !== "PATCH") return real(url, options);
      const [one, two] = await Promise.all([real(url, options), real(url, options)]);
      await one.text();
      fired(5);
      return two;
    },
    // Given up by the phone, delivered by the network much later.
    delayed: async (url, options) => {
      state.late.push([url, { ...options, signal: undefined }]);
      fired(2);
      throw new TypeError("timed out");
    },
    killed: async (url, options) => {
      const file = options.method === "PATCH" && dice.below(3) > 0;
      const at = String(1 + dice.below(file ? 14 : 45));
      const reply = await real(url, options, { [file ? "X-Kill-File" : "X-Kill-Sql"]: at });
      if (reply.status === 502) fired(file ? 24 : 23);
      return reply;
    },
    stalled: async (url, options, header) => real(url, options, header),
  };

  async function deliverLate() {
    for (const [url, options] of state.late.splice(0).reverse()) {
      await (await real(url, options)).text();
    }
  }

  function head(url, options) {
    const { pathname, search } = new URL(url);
    const lines = [`${options.method} ${pathname}${search} HTTP/1.1`, "Host: 127.0.0.1",
      ...Object.entries(options.headers).map(([name, value]) => `${name}: ${value}`),
      `Content-Length: ${options.body.byteLength}`, "Connection: close", "", ""];
    return lines.join("\r\n");
  }

  async function begin(url, options, at) {
    const socket = net.connect(port, "127.0.0.1");
    await new Promise((resolve) => { socket.once("connect", resolve); });
    socket.on("error", () => {});
    socket.write(head(url, options));
    await new Promise((resolve) => {
      socket.write(Buffer.from(options.body.slice(0, at)), resolve);
    });
    return () => new Promise((resolve) => {
      socket.once("close", resolve);
      socket.resume();
      socket.end(Buffer.from(options.body.slice(at)));
    });
  }

  async function partly(url, options, at) {
    const socket = net.connect(port, "127.0.0.1");
    await new Promise((resolve) => { socket.once("connect", resolve); });
    socket.on("error", () => {});
    socket.write(head(url, options));
    await new Promise((resolve) => {
      socket.write(Buffer.from(options.body.slice(0, at)), resolve);
    });
    await new Promise((resolve) => { socket.once("close", resolve); socket.destroy(); });
  }

  return { state, faulty, deliverLate };
}
