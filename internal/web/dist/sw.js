// The service worker: keeps the app's own files, so that it starts out of reach.
// It keeps nothing of the season, and never touches what waits to be sent.
const version = 'c30b9a37e558';
const files = ["/","/trug.svg","/manifest.webmanifest","/assets/AskOne-Dc6h7hpR.js","/assets/AskOne-dxWPp0k8.css","/assets/Asked-B-TsEqFw.js","/assets/Asked-DNgggIcB.css","/assets/Choose-CIdxmC4l.js","/assets/Choose-MArFpOsM.css","/assets/Codes-B0eyHtz8.css","/assets/Codes-DVGQi0_t.js","/assets/CropView-BjogvOhw.css","/assets/CropView-NiRP-Bta.js","/assets/Daybook-BVtbGGsN.js","/assets/Daybook-kgzMWjYV.css","/assets/Drawing-DETh3yvC.css","/assets/Drawing-G5sdolPA.js","/assets/Eaten-BQaalZ1e.css","/assets/Eaten-DYeeeq1t.js","/assets/Field-B25VV79w.js","/assets/Field-DmCrh-lI.css","/assets/Foot-Dz32G7dp.css","/assets/Foot-wKbSOT03.js","/assets/Front-BUpJCcad.js","/assets/Front-P17ij3ND.css","/assets/Ground-DRqYLPT5.js","/assets/Ground-_OOdN9ri.css","/assets/Invited-CG7oTmXJ.js","/assets/Invited-Cikx95HJ.css","/assets/Join-C6rR4y4p.css","/assets/Join-Cv3PuiW_.js","/assets/KeptAbout-Bp2Gs7cx.js","/assets/KeptAbout-CqrymNyc.css","/assets/KeptRecords-C4Q7_Lz4.js","/assets/KeptRecords-CwtfMZFS.css","/assets/LiveView-C6htRm5v.css","/assets/LiveView-CyJ0rPUL.js","/assets/Me-BP0cDrcM.css","/assets/Me-CWjIWIW9.js","/assets/Name-CSLKt529.js","/assets/Name-sRSIyFz9.css","/assets/NewRecord-CoNEsS4N.js","/assets/NewRecord-Cu4G4b4X.css","/assets/RecordSheet-BHQKnZzo.css","/assets/RecordSheet-ClvkUACP.js","/assets/SaveFile-CfYDELXU.js","/assets/Says-B7CIFaEm.js","/assets/Secret-BY1tOO-a.css","/assets/Secret-D3XmyoHU.js","/assets/SignIn-BQV6aq-f.css","/assets/SignIn-CTOWIbtX.js","/assets/SiteSheets-BQpmJcVA.css","/assets/SiteSheets-BUmwJ91u.js","/assets/alegreya-latin-400-italic-BXpar-rJ.woff2","/assets/alegreya-latin-400-normal-BLlBRtDv.woff2","/assets/alegreya-latin-500-italic-CLRFusCx.woff2","/assets/alegreya-latin-500-normal-C25lLdV_.woff2","/assets/alegreya-latin-700-normal-Vpz_43wJ.woff2","/assets/alegreya-sans-latin-400-italic-rmlAbObI.woff2","/assets/alegreya-sans-latin-400-normal-DtLlO8BS.woff2","/assets/alegreya-sans-latin-500-normal-DS713u5J.woff2","/assets/alegreya-sans-latin-700-normal-DEbcy2sF.woff2","/assets/checks.worker--2pB7mx9.js","/assets/colour-C3HHoTT3.js","/assets/de-GHEYooDi.js","/assets/drawing-progress.svelte-CtvwJx9E.js","/assets/drawing-text-7VdE-plt.js","/assets/fr-Cdax17ZX.js","/assets/guess-evrKwjDW.js","/assets/handing-Cae5nzOR.css","/assets/handing.svelte-B4zbG-wd.js","/assets/index-Bxiiyq_o.css","/assets/index-RxY-xKxh.js","/assets/keep-Bqn1EcWd.js","/assets/legacy-DqPCK-74.js","/assets/map-DEZIHwvG.js","/assets/more-drawings-VUZSyMMf.js","/assets/outbox.svelte-DM70Uelf.js","/assets/place-in-app.svelte-CJzoX8IZ.js","/assets/preview.svelte-D7OMYPTM.js","/assets/season.svelte-wCG8xfn6.js","/assets/trusted-BJQEpSha.js","/assets/uuidv7-CNXbdyrx.js","/assets/when-CvjOSjiy.js","/assets/words-C5kO6OvL.js","/assets/words-Cf5wG6sj.js"];
// What the app can do without at first, fetched once it is there: the program that looks photographs over.
const later = ["/assets/checks-BPJeaiiF.wasm"];
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
