// The service worker: keeps the app's own files, so that it starts out of reach.
// It keeps nothing of the season, and never touches what waits to be sent.
const version = '24ebb4105d16';
const files = ["/","/trug.svg","/icon-192.png","/apple-touch-icon.png","/manifest.webmanifest","/assets/Arrivals-CYnchamM.js","/assets/Arrivals-Cae5nzOR.css","/assets/AskOne-CJLrb9vg.css","/assets/AskOne-DjypQe_n.js","/assets/Codes-B0eyHtz8.css","/assets/Codes-BPKPl97S.js","/assets/CropView-BluCTkzy.css","/assets/CropView-CMhuZ2l8.js","/assets/Daybook-DMXLFq0Z.js","/assets/Eaten-D4OYtWKw.css","/assets/Eaten-F4HQuy_P.js","/assets/Field-C6HXdwcq.js","/assets/Field-DmCrh-lI.css","/assets/FirstFind-DhATLWZs.js","/assets/FirstFind-Dmg4zYSn.css","/assets/Front-CRGMhqw3.js","/assets/Front-P17ij3ND.css","/assets/Ground-GanhDfzK.css","/assets/Ground-POUzX6o-.js","/assets/Invited-Cikx95HJ.css","/assets/Invited-CyVNBxx3.js","/assets/Join-BhPQjimM.css","/assets/Join-C8doSEj4.js","/assets/KeptAbout-DeR6gG_s.css","/assets/KeptAbout-FYQAoP7r.js","/assets/KeptRecords-5plLrjoP.js","/assets/KeptRecords-CwtfMZFS.css","/assets/LiveView-C6htRm5v.css","/assets/LiveView-CsBAgFvO.js","/assets/Me-BP0cDrcM.css","/assets/Me-Bui5ZqFk.js","/assets/NewRecord-BfkRh1eh.js","/assets/NewRecord-ClZf4sSj.css","/assets/RecordSheet-B0ZDqRke.css","/assets/RecordSheet-_0X3G4y8.js","/assets/Secret-BY1tOO-a.css","/assets/Secret-CtIRKk7O.js","/assets/SignIn-vr1QSRsp.js","/assets/SignIn-yvJnPljC.css","/assets/SiteSheets-BQpmJcVA.css","/assets/SiteSheets-mSMsSwEs.js","/assets/Slip-3QNMU0T2.js","/assets/Slip-D5WuXZmJ.css","/assets/alegreya-latin-400-italic-BXpar-rJ.woff2","/assets/alegreya-latin-400-normal-BLlBRtDv.woff2","/assets/alegreya-latin-500-italic-CLRFusCx.woff2","/assets/alegreya-latin-500-normal-C25lLdV_.woff2","/assets/alegreya-latin-700-normal-Vpz_43wJ.woff2","/assets/alegreya-sans-latin-400-italic-rmlAbObI.woff2","/assets/alegreya-sans-latin-400-normal-DtLlO8BS.woff2","/assets/alegreya-sans-latin-500-normal-DS713u5J.woff2","/assets/alegreya-sans-latin-700-normal-DEbcy2sF.woff2","/assets/checks-DAHjGDK2.js","/assets/checks.worker-BXP8YPmU.js","/assets/colour-Bp5_4CZm.js","/assets/day-CN259Dub.css","/assets/day-DFXCNtfJ.js","/assets/de-BOcMK6Na.js","/assets/fr-B_ChG6yc.js","/assets/handing.svelte-BZIHhfHt.js","/assets/more-drawings-D70Jw6gC.js","/assets/preview.svelte-__OxOR2d.js","/assets/record-form-rDQXGW-0.css","/assets/record-form.svelte-DUbpcXrY.js","/assets/start-BIP-iwZy.css","/assets/start-EBG0ZH4a.js","/assets/when-DypdIX_K.js"];
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
