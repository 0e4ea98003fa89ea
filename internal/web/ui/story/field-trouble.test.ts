/** What goes wrong in the field, in a browser: nothing kept, no room, no place, no way in; each ends in plain words, and no record is lost. */
import { fileURLToPath } from 'node:url';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ask, fieldSeason } from './field-season';
import { openBrowser } from './person';
import { freshFolder, type Serving } from './program';

const picture = (name: string) => fileURLToPath(new URL(`files/${name}`, import.meta.url));

describe('trouble in the field', () => {
  const data = freshFolder('trouble');
  let program: Serving;
  let address = '';
  let code = '';
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;

  /** comesIn opens a phone whose person has taken the field code and whose app is on it. */
  async function comesIn(name: string, how?: (c: BrowserContext) => Promise<unknown>): Promise<void> {
    await context?.close();
    context = await browser.newContext({ viewport: { width: 390, height: 844 }, locale: 'en-GB' });
    await how?.(context);
    page = await context.newPage();
    page.setDefaultTimeout(90_000);
    await page.goto(`${address}/join#${code}`);
    await page.getByLabel('What may we call you?').fill(name);
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await page.reload();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
  }
  const choose = (name: string) => page.locator('input[type=file]').first().setInputFiles(picture(name));
  /** waiting counts the photographs that lie on the phone. */
  const waiting = () => page.evaluate(() => new Promise<number>((done) => { const o = indexedDB.open('trug'); o.onsuccess = () => { const g = o.result.transaction('waiting').objectStore('waiting').count(); g.onsuccess = () => { o.result.close(); done(g.result); }; }; }));
  const finds = async () => (await ask<{ finds: { has: string[] }[] }>(page, 'GET', '/daybook')).finds;

  // Each person has photographs of their own: one that is in somebody's record is nobody else's.
  beforeAll(async () => {
    ({ program, address, code } = await fieldSeason(data.path));
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
    data.remove();
  });

  test('a browser that keeps nothing says so, and in reach the record is kept all the same', async () => {
    await comesIn('Heron', (c) => c.addInitScript(() => Object.defineProperty(window, 'indexedDB', { value: undefined })));
    await page.goto(`${address}/new`);
    await context.setOffline(true);
    await choose('IMG_2043.jpg');
    await page.getByText('This browser keeps no photographs, as in a private window.').waitFor();
    await page.getByText('Try again: 1 of them').waitFor();
    await page.getByRole('button', { name: 'Next question' }).click();
    await page.evaluate(() => { history.pushState(null, '', '/new?q=said'); dispatchEvent(new PopStateEvent('popstate')); });
    await page.getByRole('button', { name: 'Keep the record' }).click();
    await page.getByText('Not kept yet.').waitFor();
    await page.getByText('keep the record in reach').first().waitFor();
    await context.setOffline(false);
    await page.evaluate(() => { history.pushState(null, '', '/new'); dispatchEvent(new PopStateEvent('popstate')); });
    await page.getByText('Try again: 1 of them').click();
    await page.getByText('1 of 1 handed in.').waitFor();
    await page.evaluate(() => { history.pushState(null, '', '/new?q=said'); dispatchEvent(new PopStateEvent('popstate')); });
    await page.getByRole('button', { name: 'Keep the record' }).click();
    await page.getByRole('heading', { name: /is kept$/ }).waitFor();
    expect((await finds()).map((f) => f.has)).toEqual([['top']]);
  });

  test('a phone that fills up in the middle of a view says so, keeps the page, and keeps the record once there is room', async () => {
    await comesIn('Wren');
    await page.goto(`${address}/new`);
    await context.setOffline(true);
    await choose('IMG_2041.jpg');
    await expect.poll(waiting).toBe(1);
    // Chromium's own override of the quota did not stop IndexedDB here, so the store answers as a full one does.
    await page.evaluate(() => {
      const put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (...given) {
        if ((window as { full?: boolean }).full !== false) throw new DOMException('no room', 'QuotaExceededError');
        return put.apply(this, given);
      };
    });
    await choose('IMG_2042.jpg');
    await page.getByText('This phone is full, so a photograph could not be kept on it.').waitFor();
    await page.evaluate(() => { history.pushState(null, '', '/new?q=said'); dispatchEvent(new PopStateEvent('popstate')); });
    await page.getByRole('button', { name: 'Keep the record' }).click();
    await page.getByText('Not kept yet.').waitFor();
    await page.evaluate(() => { (window as { full?: boolean }).full = false; });
    await page.getByRole('button', { name: 'Keep the record' }).click();
    await page.getByRole('heading', { name: 'Kept on this phone' }).waitFor();
    expect(await waiting()).toBe(2);
  });

  test('when the way in has ended the record stays, is announced, and goes when its person is in again', async () => {
    const cookies = await context.cookies();
    // It is long ago that Wren took the code: a moment after that the phone would let them in again by itself.
    await page.evaluate(() => new Promise<void>((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const t = o.result.transaction('held', 'readwrite'); t.objectStore('held').delete('taking'); t.oncomplete = () => { o.result.close(); done(); }; }; }));
    await context.clearCookies();
    await context.setOffline(false);
    await page.goto(address);
    await page.getByText('1 record is kept on this phone for Wren. They are sent when Wren comes in here again.').waitFor();
    // Somebody else of the family on the same phone sends nothing of Wren's.
    await page.goto(`${address}/join#${code}`);
    await page.getByLabel('What may we call you?').fill('Dunnock');
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await page.getByText('1 record is kept on this phone for Wren.').waitFor();
    expect([await waiting(), (await finds()).length]).toEqual([2, 0]);
    await context.clearCookies();
    await context.addCookies(cookies);
    await page.goto(`${address}/daybook`);
    await page.getByText('S26-0002').first().waitFor({ state: 'attached' });
    await expect.poll(waiting).toBe(0);
    expect((await finds()).map((f) => f.has)).toEqual([['top', 'side']]);
  });

  test('a place that may not be told is said, and the record goes on without', async () => {
    await page.goto(`${address}/new?q=where`);
    await page.getByRole('button', { name: 'Use where I am now' }).click();
    await page.getByText('This device may not tell where it is.').waitFor();
    await page.getByRole('button', { name: 'Don’t know yet' }).click();
  });

  test('photographs that were chosen and never kept with a record are there again after the phone went dark', async () => {
    await page.goto(`${address}/new`);
    await context.setOffline(true);
    await choose('IMG_2041.jpg');
    await expect.poll(waiting).toBe(1);
    // What a browser that is killed may not have written any more.
    await page.evaluate(() => localStorage.clear());
    await page.goto('about:blank');
    await page.goto(`${address}/new`);
    await page.getByText('IMG_2041.jpg').first().waitFor();
  });

  test('a field code is taken with no network, finds are kept under it, and the first signal does the rest', async () => {
    await context.close();
    context = await browser.newContext({ viewport: { width: 390, height: 844 }, locale: 'en-GB' });
    page = await context.newPage();
    page.setDefaultTimeout(90_000);
    // Seen at home, without coming in.
    await page.goto(address);
    await page.getByRole('heading', { name: 'Fungi of Sallow Down' }).first().waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await page.reload();
    await page.getByRole('heading', { name: 'Fungi of Sallow Down' }).first().waitFor();
    await expect.poll(() => page.evaluate(() => new Promise((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const g = o.result.transaction('held').objectStore('held').get('season'); g.onsuccess = () => { o.result.close(); done(g.result !== undefined); }; }; })), { timeout: 60_000 }).toBe(true);
    await context.setOffline(true);
    await page.goto(`${address}/join#${code}`);
    await page.getByLabel('What may we call you?').fill('Siskin');
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await page.getByText('Your field code waits.').waitFor();
    await page.goto(`${address}/new`);
    await choose('IMG_2044.jpg');
    await expect.poll(waiting).toBe(1);
    await page.goto(`${address}/new?q=said`);
    await page.getByRole('button', { name: 'Keep the record' }).click();
    await page.getByRole('heading', { name: 'Kept on this phone' }).waitFor();
    await context.setOffline(false);
    await page.goto(`${address}/daybook`);
    await page.getByText('S26-0003').first().waitFor({ state: 'attached' });
    await expect.poll(waiting).toBe(0);
    expect((await ask<{ me?: { name: string } }>(page, 'GET', '/season')).me?.name).toBe('Siskin');
    expect((await finds()).length).toBe(1);
  });
});
