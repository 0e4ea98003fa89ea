// The service worker: keeps the app's own files, so that it starts out of reach.
// It keeps nothing of the season, and never touches what waits to be sent.
const version = 'f4c909f7b17d';
const files = ["/","/trug.svg","/icon-192.png","/apple-touch-icon.png","/manifest.webmanifest","/assets/Arrivals-2iYy6vEr.js","/assets/Arrivals-Cae5nzOR.css","/assets/AskOne-CJLrb9vg.css","/assets/AskOne-DLrirsYi.js","/assets/Asked-BAQYQxpF.css","/assets/Asked-CK_yETC7.js","/assets/Choose-DwFm53Xw.js","/assets/Choose-MArFpOsM.css","/assets/Codes-B0eyHtz8.css","/assets/Codes-DV_CMtSj.js","/assets/CropView-BluCTkzy.css","/assets/CropView-VGu4ntIY.js","/assets/Daybook-Bq3XynAW.css","/assets/Daybook-SQ19Areu.js","/assets/Drawing-DETh3yvC.css","/assets/Drawing-DFYozrA4.js","/assets/Eaten-D4OYtWKw.css","/assets/Eaten-DcDiWqZR.js","/assets/Field-DjZE6FQc.js","/assets/Field-DmCrh-lI.css","/assets/FirstFind-DEqkWAB5.js","/assets/FirstFind-Dmg4zYSn.css","/assets/Foot-DJpR-JRI.js","/assets/Foot-Dz32G7dp.css","/assets/Front-P17ij3ND.css","/assets/Front-XEeA-x5c.js","/assets/Ground-DnZIeChi.js","/assets/Ground-GanhDfzK.css","/assets/Invited-Cikx95HJ.css","/assets/Invited-DocBAdJR.js","/assets/Join-BhPQjimM.css","/assets/Join-EPKguhEu.js","/assets/KeptAbout-DL5uJ3ON.js","/assets/KeptAbout-DeR6gG_s.css","/assets/KeptRecords-CwtfMZFS.css","/assets/KeptRecords-Ug6y69HM.js","/assets/LiveView-BcgDe3Em.js","/assets/LiveView-C6htRm5v.css","/assets/Me-BP0cDrcM.css","/assets/Me-CEBXJY6l.js","/assets/Name-VaXOxHAB.js","/assets/Name-sRSIyFz9.css","/assets/NewRecord-CWfB5kya.js","/assets/NewRecord-_-TPJ62i.css","/assets/RecordSheet-B0ZDqRke.css","/assets/RecordSheet-i2hJhlWb.js","/assets/SaveFile-JqPY0FIk.js","/assets/Says-BuVXgVKg.js","/assets/Secret-BY1tOO-a.css","/assets/Secret-QIXiNfUN.js","/assets/SignIn-Bf1csX1y.js","/assets/SignIn-yvJnPljC.css","/assets/SiteSheets-BQpmJcVA.css","/assets/SiteSheets-Bx-5STIS.js","/assets/Slip-C8zRE3Cz.js","/assets/Slip-D5WuXZmJ.css","/assets/alegreya-latin-400-italic-BXpar-rJ.woff2","/assets/alegreya-latin-400-normal-BLlBRtDv.woff2","/assets/alegreya-latin-500-italic-CLRFusCx.woff2","/assets/alegreya-latin-500-normal-C25lLdV_.woff2","/assets/alegreya-latin-700-normal-Vpz_43wJ.woff2","/assets/alegreya-sans-latin-400-italic-rmlAbObI.woff2","/assets/alegreya-sans-latin-400-normal-DtLlO8BS.woff2","/assets/alegreya-sans-latin-500-normal-DS713u5J.woff2","/assets/alegreya-sans-latin-700-normal-DEbcy2sF.woff2","/assets/checks-CGbtFQCg.js","/assets/checks.worker-BXP8YPmU.js","/assets/colour-Bnzh3pPV.js","/assets/de-CZ8tiYeT.js","/assets/drawing-progress.svelte-BmJlUw6E.js","/assets/drawing-text-7VdE-plt.js","/assets/fr-C8sFriJC.js","/assets/guess-evrKwjDW.js","/assets/handing.svelte-VscQJr3M.js","/assets/index-BIP-iwZy.css","/assets/index-DsCGuQfQ.js","/assets/keep-C3EIvALq.js","/assets/legacy-CVGkxTuz.js","/assets/map-DEZIHwvG.js","/assets/more-drawings-CkfkoE2u.js","/assets/outbox.svelte-BbpIV3k6.js","/assets/place-in-app.svelte-XU6OZVHp.js","/assets/preview.svelte-DhTvjL95.js","/assets/record-form-rDQXGW-0.css","/assets/record-form.svelte-BSqEsxSJ.js","/assets/said-DyjC74ZE.js","/assets/season.svelte-C6FEpok4.js","/assets/trusted-BJQEpSha.js","/assets/uuidv7-CNXbdyrx.js","/assets/when-WV-_urd6.js","/assets/words-BCrOY2LY.js","/assets/words-kXWk0qIl.js"];
// What the app can do without at first, fetched once it is there: the program that looks photographs over.
const later = ["/assets/checks-CHYSZzTl.wasm"];
const cacheName = `trug-${version}`;

self.addEventListener('install', (event) => {
  // Past the browser's own keeping: a list of files that belong together is fetched anew.
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(files.map((f) => new Request(f, { cache: 'no-cache' })))).then(() => self.skipWaiting()));
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

// Told by the app once its page stands: what it can do without is taken along too.
self.addEventListener('message', (event) => {
  if (event.data !== 'take along') return;
  event.waitUntil(
    caches.open(cacheName).then(async (cache) => {
      for (const file of later) if (!(await cache.match(file))) await cache.add(file).catch(() => undefined);
    }),
  );
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
