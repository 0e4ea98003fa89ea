// The service worker: keeps the app's own files, so that it starts out of reach.
// It keeps nothing of the season, and never touches what waits to be sent.
const version = '3c1158612a0f';
const files = ["/","/trug.svg","/icon-192.png","/apple-touch-icon.png","/manifest.webmanifest","/assets/Arrivals-BaEuyD87.js","/assets/Arrivals-Cae5nzOR.css","/assets/AskOne-CJLrb9vg.css","/assets/AskOne-heNB1ron.js","/assets/Codes-B0eyHtz8.css","/assets/Codes-Dgg48BvE.js","/assets/CropView-BluCTkzy.css","/assets/CropView-D5yzSPI9.js","/assets/Daybook-BRml9bZT.js","/assets/Eaten-D4OYtWKw.css","/assets/Eaten-r-umxRpJ.js","/assets/Field-BQReznSl.js","/assets/Field-DmCrh-lI.css","/assets/FirstFind-DDf-1kei.js","/assets/FirstFind-Dmg4zYSn.css","/assets/Front-CoFEr9UA.js","/assets/Front-P17ij3ND.css","/assets/Ground-GanhDfzK.css","/assets/Ground-XWs_7G9J.js","/assets/Invited-Cikx95HJ.css","/assets/Invited-CkGnCTLK.js","/assets/Join-BhPQjimM.css","/assets/Join-D4OiGW82.js","/assets/KeptAbout-BtwFDIUO.js","/assets/KeptAbout-DeR6gG_s.css","/assets/KeptRecords-BkTMAOVW.js","/assets/KeptRecords-CwtfMZFS.css","/assets/LiveView-C6htRm5v.css","/assets/LiveView-C8MtEl48.js","/assets/Me-BP0cDrcM.css","/assets/Me-BVMPjWFg.js","/assets/NewRecord-ClZf4sSj.css","/assets/NewRecord-D-SqYwSk.js","/assets/RecordSheet-CHgjtCTe.js","/assets/RecordSheet-CkHJkydo.css","/assets/Secret-BY1tOO-a.css","/assets/Secret-f7otA2ff.js","/assets/SignIn-G7sAOPVF.js","/assets/SignIn-yvJnPljC.css","/assets/SiteSheets-BQpmJcVA.css","/assets/SiteSheets-C7M3S2Dz.js","/assets/Slip-BZww_gPx.js","/assets/Slip-D5WuXZmJ.css","/assets/alegreya-latin-400-italic-BXpar-rJ.woff2","/assets/alegreya-latin-400-normal-BLlBRtDv.woff2","/assets/alegreya-latin-500-italic-CLRFusCx.woff2","/assets/alegreya-latin-500-normal-C25lLdV_.woff2","/assets/alegreya-latin-700-normal-Vpz_43wJ.woff2","/assets/alegreya-sans-latin-400-italic-rmlAbObI.woff2","/assets/alegreya-sans-latin-400-normal-DtLlO8BS.woff2","/assets/alegreya-sans-latin-500-normal-DS713u5J.woff2","/assets/alegreya-sans-latin-700-normal-DEbcy2sF.woff2","/assets/checks-CQzwwXWJ.js","/assets/checks.worker-hnTtEl15.js","/assets/colour-SgWp0mpG.js","/assets/day-B_xWkGoH.js","/assets/day-DMZDB__W.css","/assets/de-B7cHiZv2.js","/assets/dial-JbDmki8R.js","/assets/fr-5tuXEvV7.js","/assets/guess-Dv6XDgkS.js","/assets/more-drawings-SuHGu2Jw.js","/assets/preview.svelte-D4_vj2ry.js","/assets/record-form-rDQXGW-0.css","/assets/record-form.svelte-C6PSHvWb.js","/assets/spot-B7qk7pkh.js","/assets/start-BYFygQox.js","/assets/start-Dgp-nJEh.css","/assets/when-D7OZHDjA.js"];
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
