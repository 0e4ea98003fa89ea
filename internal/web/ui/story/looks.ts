/**
 * Not a test: takes a picture of every screen for people to look at.
 *
 *     npm run looks              into a new folder, whose name is printed
 *     LOOKS=folder npm run looks
 *
 * DATA names a folder of a demonstration whose photographs are drawn already;
 * without it they are drawn first. ONLY takes the screens whose name holds it.
 */
import { mkdirSync, mkdtempSync } from 'node:fs';
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
  const drawn = process.env.DATA ? { path: process.env.DATA, remove: () => undefined } : freshFolder('looks');
  const nothing = freshFolder('looks-empty');
  const season = await serve('demo', drawn.path);
  const empty = await serve('serve', nothing.path, { today: '2026-10-10' });
  const browser = await openBrowser();
  try {
    await allDrawn(season.address);
    const room = await Room.open(browser, season, empty, { viewport: phone });
    for (const [n, screen] of screens.entries()) {
      if (process.env.ONLY && !screen.name.includes(process.env.ONLY)) continue;
      const page = await room.visit(screen, async () => undefined);
      const name = `${String(n + 1).padStart(2, '0')}-${screen.name.replaceAll(/[^a-z0-9]+/gi, '-')}`;
      for (const shot of shots) {
        await page.setViewportSize(shot.viewport);
        await page.emulateMedia({ colorScheme: shot.scheme });
        await page.evaluate((text) => (document.documentElement.style.fontSize = text === 1 ? '' : `${text * 100}%`), shot.text);
        await wholePicture(page);
        await page.screenshot({ path: join(into, `${name}-${shot.name}.png`), fullPage: true, animations: 'disabled' });
      }
      await page.close();
    }
    console.log(`pictures are in ${into}`);
  } finally {
    await browser.close();
    await season.stop();
    await empty.stop();
    drawn.remove();
    nothing.remove();
  }
});

/** wholePicture has the pictures below the fold fetched as well. */
async function wholePicture(page: Page): Promise<void> {
  await page.evaluate(() => document.querySelectorAll('img').forEach((i) => (i.loading = 'eager')));
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
