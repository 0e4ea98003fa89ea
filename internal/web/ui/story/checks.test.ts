/**
 * A photograph is looked over as soon as it is chosen: by the browser's own worker, and by the server where the
 * browser forbids such programs. Nothing waits for it.
 */
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openBrowser } from './person';
import { freshFolder, serve, type Serving } from './program';
import { Room } from './screens';

const photograph = process.env.PHOTOGRAPH ?? fileURLToPath(new URL('files/IMG_2041.jpg', import.meta.url));

describe('a photograph is looked over', () => {
  const folders = [freshFolder('checks'), freshFolder('checks-empty')] as const;
  let season: Serving, empty: Serving;
  let browser: Browser;

  beforeAll(async () => {
    season = await serve('demo', folders[0].path);
    empty = await serve('serve', folders[1].path, { today: '2026-10-10' });
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await season?.stop();
    await empty?.stop();
    for (const folder of folders) folder.remove();
  });

  const newRecord = async (how: { blocked: boolean; dark?: boolean }): Promise<Page> => {
    // A service worker would give the program out of its own store, past what the page is refused.
    const room = await Room.open(browser, season, empty, { viewport: { width: 390, height: 844 }, colorScheme: how.dark ? 'dark' : 'light', serviceWorkers: how.blocked ? 'block' : 'allow' });
    const page = await room.visit({ name: 'a new record', who: 'recorder', path: '/new' }, async () => undefined);
    if (how.blocked) {
      await page.route('**/*.wasm', (route) => route.abort());
      await page.reload(); // the program is fetched as soon as the page stands
    }
    return page;
  };
  const choose = (page: Page) => page.getByLabel('Take or choose a photograph').setInputFiles(photograph);
  const looked = (page: Page) => page.getByRole('region', { name: 'Top: looked over' });

  test('by the browser itself', async () => {
    const page = await newRecord({ blocked: false });
    const asked: string[] = [];
    page.on('request', (r) => void (r.url().includes('/advice') && asked.push(r.url())));
    await choose(page);
    const said = looked(page);
    await said.getByRole('heading', { name: /^Top: (fine|better taken again)/ }).waitFor();
    expect(asked).toEqual([]);
    expect(await said.textContent()).not.toContain('by the server');
    expect(await said.locator('[aria-live="polite"]').count()).toBe(1);
    // Nothing is stopped by it: the next view is in hand already.
    await page.getByRole('heading', { level: 1, name: 'Side' }).waitFor();
    await page.getByRole('button', { name: 'Next question' }).waitFor();
    if (process.env.LOOKS) {
      await page.screenshot({ path: `${process.env.LOOKS}/checks-390.png`, fullPage: true });
      console.log(await said.innerText());
    }
    const again = said.getByRole('button', { name: 'Take again: top' });
    if (await again.count()) {
      await again.focus();
      await page.keyboard.press('Enter');
      await page.getByText('Take or choose another: top').waitFor();
    }
    await page.close();
  });

  test('by the server where the browser forbids it', async () => {
    const page = await newRecord({ blocked: true, dark: true });
    await choose(page);
    const said = looked(page);
    await said.getByText('Looked over by the server: this browser does not do it by itself.').waitFor();
    await said.getByRole('heading', { name: /^Top: / }).waitFor();
    if (process.env.LOOKS) await page.screenshot({ path: `${process.env.LOOKS}/checks-server-390.png`, fullPage: true });
    await page.close();
  });

  test('several at once, one after another, each as the view that it is', async () => {
    const page = await newRecord({ blocked: false });
    const files = ['IMG_2041.jpg', 'IMG_2042.jpg', 'IMG_2043.jpg'].map((n) => fileURLToPath(new URL(`files/${n}`, import.meta.url)));
    await page.getByLabel('Choose several at once').setInputFiles(files);
    await page.getByText('Looked over: 3 of 3.').waitFor({ timeout: 120_000 });
    for (const kind of ['Top', 'Side', 'Underneath']) await page.getByRole('region', { name: `${kind}: looked over` }).waitFor();
    // A guess that is put right is looked over anew, and so is the one that changes places with it.
    await page.getByLabel('View shown by IMG_2041.jpg').selectOption({ label: 'Close-up' });
    await page.getByRole('region', { name: 'Close-up: looked over' }).getByText(/^Close-up: /).waitFor();
    await page.getByText('Looked over: 3 of 3.').waitFor();
    await page.context().close();
  });
});
