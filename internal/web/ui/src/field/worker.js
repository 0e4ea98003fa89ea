// The service worker: keeps the app's own files, so that it starts out of reach.
// It keeps nothing of the season, and never touches what waits to be sent.
const version = '__VERSION__';
const files = __FILES__;
const cacheName = `trug-${version}`;

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(files)).then(() => self.skipWaiting()));
});

// The files of the version before stay: a page that is open may still ask for one.
self.addEventListener('activate', (event) => {
  event.waitUntil(
    caches.keys().then(async (names) => {
      const before = names.filter((n) => n.startsWith('trug-') && n !== cacheName);
      for (const name of before.slice(0, -1)) await caches.delete(name);
      await self.clients.claim();
    }),
  );
});

self.addEventListener('fetch', (event) => {
  const request = event.request;
  const address = new URL(request.url);
  if (request.method !== 'GET' || address.origin !== self.location.origin || /^\/(api|enter)(\/|$)/.test(address.pathname)) return;
  if (request.mode === 'navigate') {
    event.respondWith(caches.open(cacheName).then((c) => c.match('/')).then((kept) => kept ?? fetch(request)));
  } else if (/^\/(assets|fonts)\//.test(address.pathname) || files.includes(address.pathname)) {
    event.respondWith(caches.match(address.pathname).then((kept) => kept ?? fetch(request)));
  }
});
