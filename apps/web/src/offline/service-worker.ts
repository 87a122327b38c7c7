/** Keeps the program on the device: everything it consists of is fetched once, then served from here, network or none. */

declare const self: ServiceWorkerGlobalScope;
/** Filled in by the build: a name that changes with the content, and every file. */
declare const __VERSION__: string;
declare const __FILES__: readonly string[];

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(__VERSION__).then((cache) => cache.addAll([...__FILES__])));
});

self.addEventListener('activate', (event) => {
  const old = caches.keys().then((names) => names.filter((name) => name !== __VERSION__));
  event.waitUntil(old.then((names) => Promise.all(names.map((name) => caches.delete(name)))));
});

/** A newer version waits until a person says so, and then takes over at once. */
self.addEventListener('message', (event) => {
  if (event.data === 'take over') event.waitUntil(self.skipWaiting());
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== location.origin) return;
  // Every place is the same page. A script asked for with another `Vary` header is still the same script.
  const wanted = request.mode === 'navigate' ? '/' : request;
  event.respondWith(
    caches.match(wanted, { cacheName: __VERSION__, ignoreVary: true }).then((kept) => kept ?? fetch(request)),
  );
});

export {};
