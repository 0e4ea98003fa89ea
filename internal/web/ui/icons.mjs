/**
 * Draws the app's icons as PNG from its mark, by the Chromium that the story runs in: `node icons.mjs`. They are kept in
 * public/, since an icon changes once in years and the build needs no browser.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { chromium } from 'playwright-core';

const mark = readFileSync(new URL('public/trug.svg', import.meta.url), 'utf8').match(/<g .*<\/g>/)[0];
const paper = '#f6f1e6';

/** How large the mark is drawn: what may be cut to a circle keeps within its safe zone, four fifths of the width. */
const icons = [
  ['icon-192.png', 192, 1],
  ['icon-512.png', 512, 1],
  ['icon-maskable-512.png', 512, 0.66],
  ['apple-touch-icon.png', 180, 0.8],
];

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu', '--force-color-profile=srgb'] });
for (const [name, side, scale] of icons) {
  const page = await browser.newPage({ viewport: { width: side, height: side }, deviceScaleFactor: 1 });
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${side}" height="${side}" viewBox="0 0 32 32"><rect width="32" height="32" fill="${paper}"/><g transform="translate(16 16.5) scale(${scale}) translate(-16 -16.5)">${mark}</g></svg>`;
  await page.setContent(`<style>body{margin:0}svg{display:block}</style>${svg}`);
  writeFileSync(new URL(`public/${name}`, import.meta.url), await page.screenshot({ type: 'png' }));
  await page.close();
}
await browser.close();
