// The service worker: keeps the app's own files, so that it starts out of reach.
// It keeps nothing of the season, and never touches what waits to be sent.
const version = '94ccf83374c5';
const files = ["/","/trug.svg","/icon-192.png","/apple-touch-icon.png","/manifest.webmanifest","/assets/Arrivals-Cae5nzOR.css","/assets/Arrivals-N7NRObqK.js","/assets/AskOne-139MDcH7.js","/assets/AskOne-CJLrb9vg.css","/assets/Asked-BAQYQxpF.css","/assets/Asked-BBPDqOo9.js","/assets/Choose-BsCKMIbb.js","/assets/Choose-MArFpOsM.css","/assets/Codes-B0eyHtz8.css","/assets/Codes-BLyGbDgD.js","/assets/CropView-BluCTkzy.css","/assets/CropView-DCqPjOw6.js","/assets/Daybook-Bq3XynAW.css","/assets/Daybook-CsWkvoss.js","/assets/Drawing-Cgee1aYY.js","/assets/Drawing-DETh3yvC.css","/assets/Eaten-0AXBHkUo.js","/assets/Eaten-D4OYtWKw.css","/assets/Field-CAd6rWHD.js","/assets/Field-DmCrh-lI.css","/assets/FirstFind-7dPn6W4G.js","/assets/FirstFind-Dmg4zYSn.css","/assets/Foot-BRI84rK3.js","/assets/Foot-Dz32G7dp.css","/assets/Front-P17ij3ND.css","/assets/Front-Uu0hH8a7.js","/assets/Ground-D5St8MZg.js","/assets/Ground-GanhDfzK.css","/assets/Invited-8coIANSK.js","/assets/Invited-Cikx95HJ.css","/assets/Join-BhPQjimM.css","/assets/Join-D_E2yQ7B.js","/assets/KeptAbout-DeR6gG_s.css","/assets/KeptAbout-LWIi1LYe.js","/assets/KeptRecords-BdbMT_G4.js","/assets/KeptRecords-CwtfMZFS.css","/assets/LiveView-BYFXyQRM.js","/assets/LiveView-C6htRm5v.css","/assets/Me-BP0cDrcM.css","/assets/Me-hQf3Zw31.js","/assets/Name-RuFhl_it.js","/assets/Name-sRSIyFz9.css","/assets/NewRecord-ClZf4sSj.css","/assets/NewRecord-Se4BCJAA.js","/assets/RecordSheet-B0ZDqRke.css","/assets/RecordSheet-m5HF6mTC.js","/assets/SaveFile-CNiF3jab.js","/assets/Says-U7dGIGMW.js","/assets/Secret-BY1tOO-a.css","/assets/Secret-DoukdGhB.js","/assets/SignIn-Bkl17VIs.js","/assets/SignIn-yvJnPljC.css","/assets/SiteSheets-BQpmJcVA.css","/assets/SiteSheets-CDeMLQ0u.js","/assets/Slip-CczNNDXR.js","/assets/Slip-D5WuXZmJ.css","/assets/alegreya-latin-400-italic-BXpar-rJ.woff2","/assets/alegreya-latin-400-normal-BLlBRtDv.woff2","/assets/alegreya-latin-500-italic-CLRFusCx.woff2","/assets/alegreya-latin-500-normal-C25lLdV_.woff2","/assets/alegreya-latin-700-normal-Vpz_43wJ.woff2","/assets/alegreya-sans-latin-400-italic-rmlAbObI.woff2","/assets/alegreya-sans-latin-400-normal-DtLlO8BS.woff2","/assets/alegreya-sans-latin-500-normal-DS713u5J.woff2","/assets/alegreya-sans-latin-700-normal-DEbcy2sF.woff2","/assets/checks-CGbtFQCg.js","/assets/checks.worker-BXP8YPmU.js","/assets/colour-C_-EF_NQ.js","/assets/de-BOcMK6Na.js","/assets/drawing-progress.svelte-dS3PzcLs.js","/assets/drawing-text-7VdE-plt.js","/assets/fr-B_ChG6yc.js","/assets/guess-evrKwjDW.js","/assets/handing.svelte-C4MQJXNG.js","/assets/index-BIP-iwZy.css","/assets/index-DNUqCTCU.js","/assets/keep-CsuYArC6.js","/assets/legacy-C7dIjfFZ.js","/assets/map-DEZIHwvG.js","/assets/more-drawings-CkfkoE2u.js","/assets/outbox.svelte-CS4M3lDa.js","/assets/place-in-app.svelte-B-AnAKDK.js","/assets/preview.svelte-QUTMUqaP.js","/assets/record-form-rDQXGW-0.css","/assets/record-form.svelte-UvO-Rd-i.js","/assets/said-C-lMp8Aq.js","/assets/season.svelte-Cktry5Ey.js","/assets/trusted-BJQEpSha.js","/assets/uuidv7-CNXbdyrx.js","/assets/when-DaZmGLIk.js","/assets/words-Cp0BjC-S.js","/assets/words-DAeTq_bt.js"];
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
