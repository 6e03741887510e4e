// Keeps the page on the device, so that it opens without a network. Serves
// what it has kept and asks the network only for what it has not.
//
// A new build is fetched whole beside the old one and waits. It takes over when
// the page is opened or reloaded and no other tab has it open: never in the
// middle of an edit, and never two builds in one tab.

// Written in by the build: its name, and its files; none while developing.
const BUILD = "{build}";
const FILES = [/*{files}*/];

const CACHE_NAME = `fledge-${BUILD}`;

self.addEventListener("install", (event) => {
  event.waitUntil(keepAll());
});

async function keepAll() {
  const cache = await caches.open(CACHE_NAME);
  // While developing there is nothing to keep and nothing to wait for.
  if (FILES.length === 0) return self.skipWaiting();
  // Asks the server whether the browser's own copy still holds, so that nothing
  // is fetched twice.
  await cache.addAll(FILES.map((file) => new Request(file, { cache: "no-cache" })));
}

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOthers());
});

async function dropOthers() {
  for (const name of await caches.keys()) {
    if (name.startsWith("fledge-") && name !== CACHE_NAME) await caches.delete(name);
  }
  // The tab of the first visit, too, may lose its network.
  await self.clients.claim();
}

// Asked by a tab that has just been opened and is the only one.
self.addEventListener("message", ({ data }) => {
  if (Date.now() < data.takeOverBefore) self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const here = new URL(request.url).origin === self.location.origin;
  if (request.method === "GET" && here && FILES.length > 0) event.respondWith(answer(request));
});

async function answer(request) {
  const cache = await caches.open(CACHE_NAME);
  const kept = await cache.match(request, { ignoreSearch: true });
  return kept ?? fetch(request);
}
