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

// All files or none: a build that did not arrive whole leaves no trace.
async function keep() {
  const cache = await caches.open(CACHE);
  await cache.addAll(FILES.map((file) => new Request(file, { cache: "reload" })));
}

// It becomes active when no page of an older build is open any more.
async function dropOlder() {
  await Promise.all((await kept()).filter((name) => name !== CACHE).map((name) => caches.delete(name)));
}

// The newest build first, even while an older one of these scripts is in charge: a newer build shows at the next load. A page that was
// loaded from an older build finds its files there, since their names hold a stamp of their content.
async function fromCache(request) {
  for (const name of (await kept()).reverse()) {
    const found = await (await caches.open(name)).match(request, { ignoreSearch: true });
    if (found) return found;
  }
  return fetch(request);
}

// Oldest first: the browser lists them in the order in which they were made.
async function kept() {
  return (await caches.keys()).filter((name) => name.startsWith(OURS));
}
