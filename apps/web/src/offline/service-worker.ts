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

/** What the server answers itself, each time anew. */
const SERVERS_OWN = /^[/](api|calendar|digest|plain[.]css|health|metrics)\b/;

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== location.origin || SERVERS_OWN.test(pathname)) return;
  // Every place is the same page. A script asked for with another `Vary` header is still the same script.
  const wanted = request.mode === 'navigate' ? '/' : request;
  event.respondWith(
    caches.match(wanted, { cacheName: __VERSION__, ignoreVary: true }).then((kept) => kept ?? fetch(request)),
  );
});

interface Message {
  readonly title: string;
  readonly body: string;
  /** The place it is about: "/tank/…". */
  readonly path: string;
  /** Names what it tells of: a later message of that takes the place of this one. */
  readonly tag?: string;
}

self.addEventListener('push', (event) => {
  if (event.data === null) return;
  const { title, body, path, tag = path } = event.data.json() as Message;
  event.waitUntil(
    self.registration.showNotification(title, { body, tag, data: path, icon: '/mark-192.png' }),
  );
});

self.addEventListener('notificationclick', (event) => {
  event.notification.close();
  event.waitUntil(open(new URL(String(event.notification.data), location.origin)));
});

/** Shows a place of ours, in a page that is open already where there is one. */
async function open({ href, origin }: URL): Promise<void> {
  if (origin !== location.origin) return;
  const [page] = await self.clients.matchAll({ type: 'window' });
  if (page === undefined) await self.clients.openWindow(href);
  else await page.navigate(href).then((shown) => (shown ?? page).focus());
}

export {};
