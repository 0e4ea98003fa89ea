/**
 * The key at the table by the keyboard alone: any character first, undo, two
 * compared, and the strip of what waits never over what has the keyboard.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openBrowser } from './person';
import { complaints, freshFolder, serve, type Serving } from './program';
import { Room, settled } from './screens';

describe('the key by the keyboard', () => {
  const folders = [freshFolder('key'), freshFolder('key-empty')] as const;
  let season: Serving, empty: Serving;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    season = await serve('demo', folders[0].path);
    empty = await serve('serve', folders[1].path, { today: '2026-10-10' });
    browser = await openBrowser();
    const room = await Room.open(browser, season, empty, { viewport: { width: 1280, height: 800 } });
    page = await room.visit({ name: 'the table', who: 'determiner', path: '/table?find=$mine' }, async () => undefined);
  });
  afterAll(async () => {
    await browser?.close();
    await season?.stop();
    await empty?.stop();
    for (const folder of folders) folder.remove();
  });

  const focusedWords = () => page.evaluate(() => document.activeElement?.textContent?.trim() ?? '');
  const remain = async () => Number(/(\d+) of \d+ remain/.exec((await page.getByText(/remain\. Not in this key/).textContent()) ?? '')?.[1]);
  /** Fails where something else lies over what has the keyboard. */
  const uncovered = () =>
    page.evaluate(() => {
      const e = document.activeElement!;
      const box = e.getBoundingClientRect();
      const over = document.elementFromPoint(box.left + Math.min(box.width, 20) / 2, box.top + Math.min(box.height, 20) / 2);
      return over !== null && (over === e || e.contains(over) || over.contains(e));
    });

  test('is laid beside the views and told its letters', async () => {
    await page.keyboard.press('k');
    await page.getByText(/remain\. Not in this key/).waitFor();
    expect(await focusedWords()).toBe('The key');
    expect(await page.locator('nav.waits').evaluate((e) => getComputedStyle(e).position)).toBe('static');
    await page.getByText(/^Keys:/).waitFor();
    await page.keyboard.press('Shift+?');
    await page.getByRole('dialog').getByText('at the key: compare the two likeliest').waitFor();
    await page.keyboard.press('Escape');
  });

  let all = 0;
  test('takes any character first', async () => {
    all = await remain();
    await page.getByRole('heading', { name: 'The key' }).focus();
    await page.keyboard.press('c');
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('SELECT');
    await page.keyboard.type('Ring');
    const asked = page.getByRole('group', { name: /ring/i });
    await asked.waitFor();
    let ticked = false;
    for (let n = 0; n < 30 && !ticked; n++) {
      await page.keyboard.press('Tab');
      expect(await uncovered()).toBe(true);
      ticked = await page.evaluate(() => (document.activeElement as HTMLInputElement).value === 'hanging');
    }
    expect(ticked).toBe(true);
    await page.keyboard.press('Space');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: /^Take back: Ring/ }).waitFor();
    await settled(page);
    expect(await remain()).toBeLessThan(all);
    // The keyboard goes on with the next question.
    expect(await page.evaluate(() => document.activeElement?.closest('form') !== null)).toBe(true);
    expect(await uncovered()).toBe(true);
  });

  test('compares the two likeliest, and takes the last answer back', async () => {
    await page.keyboard.press('v');
    await page.getByText('What tells them apart').waitFor();
    await settled(page);
    expect(await focusedWords()).toContain('What tells them apart');
    expect(await uncovered()).toBe(true);
    await page.keyboard.press('u');
    await page.getByRole('button', { name: /^Take back: Ring/ }).waitFor({ state: 'detached' });
    expect(await remain()).toBe(all);
    await page.keyboard.press('k');
    await page.getByRole('heading', { name: 'The key' }).waitFor({ state: 'detached' });
    expect(await focusedWords()).toBe('Lay the key beside it');
    expect(complaints(season.said())).toEqual([]);
  });
});
