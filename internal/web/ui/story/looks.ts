/**
 * Not a test: takes a picture of every screen for people to look at.
 *
 *     npm run looks              into a new folder, whose name is printed
 *     LOOKS=folder npm run looks
 *
 * DATA names a folder of a demonstration whose photographs are drawn already; a
 * copy of it is used. Without it they are drawn first, which takes minutes. ONLY takes the screens whose name holds it.
 */
import { cpSync, mkdirSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { test } from 'vitest';
import { desk, openBrowser, phone } from './person';
import { freshFolder, serve } from './program';
import { Room, screens, settled } from './screens';

const tablet = { width: 820, height: 1180 };
const shots = [
  { name: 'phone', viewport: phone, scheme: 'light', text: 1 },
  { name: 'phone-dark', viewport: phone, scheme: 'dark', text: 1 },
  { name: 'phone-large-text', viewport: phone, scheme: 'light', text: 2 },
  { name: 'tablet', viewport: tablet, scheme: 'light', text: 1 },
  { name: 'tablet-dark', viewport: tablet, scheme: 'dark', text: 1 },
  { name: 'desk', viewport: desk, scheme: 'light', text: 1 },
  { name: 'desk-dark', viewport: desk, scheme: 'dark', text: 1 },
  { name: 'desk-large-text', viewport: desk, scheme: 'light', text: 2 },
] as const;

test('a picture of every screen', { timeout: 3_600_000 }, async () => {
  const into = process.env.LOOKS ?? mkdtempSync(join(tmpdir(), 'trug-looks-'));
  mkdirSync(into, { recursive: true });
  const drawn = freshFolder('looks');
  if (process.env.DATA) cpSync(process.env.DATA, drawn.path, { recursive: true });
  const nothing = freshFolder('looks-empty');
  const season = await serve('demo', drawn.path);
  const empty = await serve('serve', nothing.path, { today: '2026-10-10' });
  try {
    await allDrawn(season.address);
    for (const text of [1, 2]) {
      // As the setting of the browser does it: the sizes in style sheets and their conditions follow.
      const browser = await openBrowser(`--blink-settings=defaultFontSize=${16 * text}`);
      const room = await Room.open(browser, season, empty, { viewport: phone });
      for (const [n, screen] of screens.entries()) {
        if (process.env.ONLY && !screen.name.includes(process.env.ONLY)) continue;
        const page = await room.visit(screen, async () => undefined);
        const name = `${String(n + 1).padStart(2, '0')}-${screen.name.replaceAll(/[^a-z0-9]+/gi, '-').replace(/-$/, '')}`;
        for (const shot of shots.filter((s) => s.text === text)) {
          await page.setViewportSize(shot.viewport);
          await page.emulateMedia({ colorScheme: shot.scheme });
          await wholePicture(page);
          await page.screenshot({ path: join(into, `${name}-${shot.name}.png`), fullPage: true, animations: 'disabled' });
        }
        await page.close();
      }
      await browser.close();
    }
    console.log(`pictures are in ${into}`);
  } finally {
    await season.stop();
    await empty.stop();
    drawn.remove();
    nothing.remove();
  }
});

/** wholePicture has the pictures below the fold fetched as well; what sticks would lie in the middle of a long page. */
async function wholePicture(page: Page): Promise<void> {
  await page.evaluate(() => {
    for (const i of document.images) i.loading = 'eager';
    for (const e of document.querySelectorAll<HTMLElement>('body *')) if (getComputedStyle(e).position === 'sticky') e.style.position = 'static';
  });
  await settled(page);
  await page.evaluate(() => Promise.all([...document.images].map((i) => i.complete || new Promise((done) => ((i.onload = done), (i.onerror = done))))));
}

async function allDrawn(address: string): Promise<void> {
  for (;;) {
    const { done, total } = (await (await fetch(`${address}/api/drawing`)).json()) as { done: number; total: number };
    if (done >= total) return;
    console.log(`${done} of ${total} photographs are drawn`);
    await new Promise((later) => setTimeout(later, 10_000));
  }
}
