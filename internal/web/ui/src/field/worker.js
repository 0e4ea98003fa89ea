// The service worker: keeps the app's own files, so that it starts out of reach.
// It keeps nothing of the season, and never touches what waits to be sent.
const version = '__VERSION__';
const files = __FILES__;
// What the app can do without at first, fetched once it is there: the program that looks photographs over.
const later = __LATER__;
const cacheName = `trug-${version}`;

self.addEventListener('install', (event) => {
  // Past the browser's own keeping: a list of files that belong together is fetched anew.
  event.waitUntil(
    caches.open(cacheName).then(async (cache) => {
      await cache.addAll(files.map((f) => new Request(f, { cache: 'no-cache' })));
      // A phone that has an earlier version goes on being able to do all: it may be out of reach from the next start on.
      if ((await caches.keys()).some((n) => n.startsWith('trug-') && n !== cacheName)) await takeAlong(cache);
      await self.skipWaiting();
    }),
  );
});

async function takeAlong(cache) {
  for (const file of later) if (!(await cache.match(file))) await cache.add(file).catch(() => undefined);
}

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

// Told by the app once its page stands: what it can do without is taken along too.
self.addEventListener('message', (event) => {
  if (event.data !== 'take along') return;
  event.waitUntil(caches.open(cacheName).then(takeAlong));
});

self.addEventListener('fetch', (event) => {
  const request = event.request;
  const address = new URL(request.url);
  if (request.method !== 'GET' || address.origin !== self.location.origin || /^\/(api|enter|trust)(\/|$)/.test(address.pathname)) return;
  if (request.mode === 'navigate') {
    event.respondWith(caches.open(cacheName).then((c) => c.match('/')).then((kept) => kept ?? fetch(request)));
  } else if (/^\/(assets|fonts)\//.test(address.pathname) || files.includes(address.pathname)) {
    event.respondWith(caches.match(address.pathname).then((kept) => kept ?? fetch(request)));
  }
});
