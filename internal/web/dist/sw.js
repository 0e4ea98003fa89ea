// The service worker: keeps the app's own files, so that it starts out of reach.
// It keeps nothing of the season, and never touches what waits to be sent.
const version = 'c8de1147897a';
const files = ["/","/trug.svg","/icon-192.png","/apple-touch-icon.png","/manifest.webmanifest","/assets/Arrivals-BUE1uJBi.js","/assets/Arrivals-Cae5nzOR.css","/assets/AskOne-BQ_sdr-9.js","/assets/AskOne-CJLrb9vg.css","/assets/Codes-B0eyHtz8.css","/assets/Codes-DzPBItsQ.js","/assets/CropView-B3sKHYi6.js","/assets/CropView-BluCTkzy.css","/assets/Daybook-fOjVjYEG.js","/assets/Eaten-C1hhYoPE.js","/assets/Eaten-D4OYtWKw.css","/assets/Field-DmCrh-lI.css","/assets/Field-ROlCy_Pb.js","/assets/FirstFind-Dmg4zYSn.css","/assets/FirstFind-DzVjcuK2.js","/assets/Front-7KQrWjhe.js","/assets/Front-P17ij3ND.css","/assets/Ground-GanhDfzK.css","/assets/Ground-iSivH8AI.js","/assets/Invited-4IHbAiOe.js","/assets/Invited-Cikx95HJ.css","/assets/Join-BFQ35wcf.js","/assets/Join-BhPQjimM.css","/assets/KeptAbout-DeR6gG_s.css","/assets/KeptAbout-i7x6DS7P.js","/assets/KeptRecords-CwtfMZFS.css","/assets/KeptRecords-ot9KCqd8.js","/assets/LiveView-BmmCxErp.js","/assets/LiveView-C6htRm5v.css","/assets/Me-BP0cDrcM.css","/assets/Me-Bng8LYBe.js","/assets/NewRecord-ClZf4sSj.css","/assets/NewRecord-hiidMVyP.js","/assets/RecordSheet-C6FQtPW5.js","/assets/RecordSheet-CkHJkydo.css","/assets/Secret-BNpyJ8aw.js","/assets/Secret-BY1tOO-a.css","/assets/SignIn-BXG7YsjR.js","/assets/SignIn-yvJnPljC.css","/assets/SiteSheets-BQpmJcVA.css","/assets/SiteSheets-D6DLDiR5.js","/assets/Slip-D5WuXZmJ.css","/assets/Slip-OTRW9kPK.js","/assets/alegreya-latin-400-italic-BXpar-rJ.woff2","/assets/alegreya-latin-400-normal-BLlBRtDv.woff2","/assets/alegreya-latin-500-italic-CLRFusCx.woff2","/assets/alegreya-latin-500-normal-C25lLdV_.woff2","/assets/alegreya-latin-700-normal-Vpz_43wJ.woff2","/assets/alegreya-sans-latin-400-italic-rmlAbObI.woff2","/assets/alegreya-sans-latin-400-normal-DtLlO8BS.woff2","/assets/alegreya-sans-latin-500-normal-DS713u5J.woff2","/assets/alegreya-sans-latin-700-normal-DEbcy2sF.woff2","/assets/checks-Dta7mKBG.js","/assets/checks.worker-hnTtEl15.js","/assets/colour-D-8PVB37.js","/assets/day-DMZDB__W.css","/assets/day-Z8AjxP1a.js","/assets/de-B7cHiZv2.js","/assets/dial-JbDmki8R.js","/assets/fr-5tuXEvV7.js","/assets/guess-DCWsZewh.js","/assets/more-drawings-Dpboc3i-.js","/assets/preview.svelte-DoQairkv.js","/assets/record-form-rDQXGW-0.css","/assets/record-form.svelte-BRJZElhM.js","/assets/spot-QnBzShee.js","/assets/start-Dgp-nJEh.css","/assets/start-gl3Ypyna.js","/assets/when-FTou06iK.js"];
// What the app can do without at first, fetched once it is there: the program that looks photographs over.
const later = ["/assets/checks-c9KcFj-b.wasm"];
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
