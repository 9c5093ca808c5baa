// The service worker: files only, never data. The server puts PHONE (the name of this
// release, a hash of its files, and their addresses) in front of this text. A release
// brings its own cache and drops older file caches; it never touches IndexedDB, where
// the outbox is.

const PREFIX = "phone-files-";
const CACHE = `${PREFIX}${PHONE.release}`;

self.addEventListener("install", (event) => {
  event.waitUntil(fill());
});

/** All files of the release or none: a half-filled cache would mix two releases. */
async function fill() {
  const cache = await caches.open(CACHE);
  for (const url of PHONE.files) {
    const reply = await fetch(url, { cache: "reload", redirect: "error" });
    const type = reply.headers.get("Content-Type") ?? "";
    const page = url === PHONE.page;
    if (!reply.ok || type.startsWith("text/html") !== page) {
      throw new Error(`Not a file of ours: ${url}`);
    }
    await cache.put(url, reply);
  }
}

self.addEventListener("activate", (event) => {
  event.waitUntil(activate());
});

async function activate() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

// The page offers a new release; it takes over when the person taps, not under his hands.
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  const { origin, pathname } = new URL(event.request.url);
  if (origin !== self.location.origin) return;
  const isPage = event.request.mode === "navigate" && pathname === PHONE.page;
  if (!isPage && !PHONE.files.includes(pathname)) return;
  event.respondWith(answer(isPage ? PHONE.page : pathname, event.request));
});

async function answer(url, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(url)) ?? fetch(request);
}

// Where a browser wakes us in the background, the open pages are told to send.
self.addEventListener("sync", (event) => {
  event.waitUntil(self.clients.matchAll().then((pages) => {
    pages.forEach((page) => page.postMessage("send"));
  }));
});
