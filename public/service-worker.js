// Keeps the page for use without a network. The build writes the two lines below: every file of the page, and a name made from their content.
const BUILD = "unbuilt";
const FILES = [];

// Several copies of the page may live on one origin, each in a folder of its own.
const OURS = `couplet ${self.registration.scope} `;
const CACHE = OURS + BUILD;

self.addEventListener("install", (event) => event.waitUntil(keep()));
self.addEventListener("activate", (event) => event.waitUntil(dropOlder().then(() => self.clients.claim())));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && request.url.startsWith(self.registration.scope)) event.respondWith(fromCache(request));
});
self.addEventListener("message", (event) => event.waitUntil(takeOverIfAlone()));

async function keep() {
  const cache = await caches.open(CACHE);
  await cache.addAll(FILES.map((file) => new Request(file, { cache: "reload" })));
}

async function dropOlder() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(OURS) && name !== CACHE).map((name) => caches.delete(name)));
}

async function fromCache(request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(request, { ignoreSearch: true })) ?? fetch(request);
}

// A second open page may still need files of the build it was loaded from.
async function takeOverIfAlone() {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  if (pages.filter((page) => page.url.startsWith(self.registration.scope)).length <= 1) await self.skipWaiting();
}
