/**
 * A first find, taught: out of reach and in reach, by keyboard, at a phone's width and a desk's. The record is a real
 * one. What a phone asks on the spot is what the server asks.
 */
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ask, fieldSeason } from './field-season';
import { openBrowser } from './person';
import { freshFolder, type Serving } from './program';

const axe = readFileSync(fileURLToPath(new URL('../node_modules/axe-core/axe.min.js', import.meta.url)), 'utf8');
const picture = (name: string) => fileURLToPath(new URL(`files/${name}`, import.meta.url));

describe('a first find is taught', () => {
  const data = freshFolder('first');
  const profile = mkdtempSync(join(tmpdir(), 'trug-first-'));
  let program: Serving;
  let address = '';
  let code = '';
  let garden = '';
  let context: BrowserContext;
  let page: Page;
  const wrong: string[] = [];

  async function looked(name: string): Promise<void> {
    for (const [width, height, colorScheme] of [[390, 844, 'light'], [1280, 900, 'light'], [390, 844, 'dark']] as const) {
      await page.setViewportSize({ width, height });
      await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
      await page.waitForTimeout(100);
      const cdp = await context.newCDPSession(page);
      const found = (await cdp.send('Runtime.evaluate', { expression: `(() => { ${axe}; return axe.run().then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.target).join('; '))); })()`, awaitPromise: true, returnByValue: true })).result.value as string[];
      expect(found, `axe on ${name}, ${width}, ${colorScheme}`).toEqual([]);
      expect(await page.evaluate('document.documentElement.scrollWidth <= window.innerWidth'), `${name} scrolls sideways at ${width}`).toBe(true);
      if (process.env.LOOKS) await page.screenshot({ path: join(process.env.LOOKS, `${name}-${width}-${colorScheme}.png`), fullPage: true });
    }
    await page.emulateMedia({ colorScheme: 'light' });
    await page.setViewportSize({ width: 390, height: 844 });
  }
  /** on presses a button of the foot and waits for the next step: its heading has the keyboard. */
  async function on(button: string, heading: string): Promise<void> {
    await page.getByRole('button', { name: button, exact: true }).click();
    await page.getByRole('heading', { name: heading, level: 1 }).waitFor();
    await expect.poll(() => page.evaluate(() => document.activeElement?.textContent?.trim() ?? '')).toContain(heading);
  }
  const take = (name: string) => page.locator('input[type=file]').setInputFiles(picture(name));

  beforeAll(async () => {
    ({ program, address, code } = await fieldSeason(data.path));
    context = await chromium.launchPersistentContext(profile, {
      executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', viewport: { width: 390, height: 844 }, locale: 'en-GB', geolocation: { latitude: 48.56, longitude: -19.95, accuracy: 8 }, permissions: ['geolocation'],
      args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--force-color-profile=srgb'],
    });
    page = context.pages()[0] ?? (await context.newPage());
    page.setDefaultTimeout(90_000);
    page.on('pageerror', (e) => wrong.push(e.message));
    await page.goto(`${address}/join#${code}`);
    await page.getByLabel('What may we call you?').fill('Wren');
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await page.reload();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    const heldHere = (name: string) => page.evaluate((n) => new Promise((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const g = o.result.transaction('held').objectStore('held').get(n); g.onsuccess = () => { o.result.close(); done(g.result !== undefined); }; }; }), name);
    for (let tries = 0; !(await heldHere('names')); tries++) {
      if (tries > 300) throw new Error('the checklist is not taken along');
      await page.waitForTimeout(200);
    }
  });
  afterAll(async () => {
    await context?.close();
    await program?.stop();
    data.remove();
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    expect(wrong).toEqual([]);
  });

  test('what the phone asks on the spot is what the server asks', async () => {
    const asked = [
      { answers: [], views: [], may: [] },
      { answers: [{ character: 'form', states: ['gilled'] }], views: ['top', 'side'], may: [] },
      { answers: [{ character: 'form', states: ['gilled'] }, { character: 'ring', states: ['hanging'] }, { character: 'cap_diameter', number: '42-51' }], views: ['top'], may: ['dig', 'cut'] },
      { answers: [{ character: 'form', states: ['lichen_leaf'] }], views: [], may: ['pick'] },
    ];
    await page.goto(`${address}/new`);
    await page.locator('input[type=file]').first().setInputFiles(picture('IMG_2041.jpg'));
    const worker = page.workers()[0] ?? (await page.waitForEvent('worker'));
    for (const a of asked) {
      const phone = (JSON.parse(await worker.evaluate((text) => (globalThis as unknown as { trugDoor: { question: (t: string) => string } }).trugDoor.question(text), JSON.stringify({ ...a, season: {} }))) as { answer: unknown }).answer;
      expect(phone, JSON.stringify(a)).toEqual(await ask(page, 'POST', '/field/next', a));
    }
    page.once('dialog', (d) => void d.accept());
    await page.reload();
    await page.getByRole('button', { name: 'Begin afresh' }).click();
    await page.getByRole('heading', { name: 'Top' }).waitFor();
  });

  test('who has no record yet is led to it from the Daybook, and walks through it with no network', async () => {
    await page.goto(`${address}/daybook`);
    await page.getByRole('link', { name: 'Your first find' }).waitFor();
    await context.setOffline(true);
    const began = Date.now();
    await page.getByRole('link', { name: 'Your first find' }).click();
    await page.getByText('It takes about two minutes').waitFor();
    let looking = 0;
    const pause = async (name: string) => { const from = Date.now(); await looked(name); looking += Date.now() - from; };
    await pause('first-hello');
    await on('Let us begin', 'What does it look like?');
    await page.getByRole('radio', { name: 'Mushroom with gills' }).check();
    await pause('first-form');
    await on('Next', 'First from above');
    await pause('first-top');
    await take('IMG_2041.jpg');
    await page.getByText('Taken: top.').waitFor();
    await page.getByRole('region', { name: 'Top: looked over' }).getByText(/Top: (fine|better)/).waitFor();
    await pause('first-top-taken');
    await on('Next', 'Now from the side');
    await take('IMG_2042.jpg');
    await pause('first-side');
    // Left, and come again: everything is there, and it goes on where it was.
    await page.goto(`${address}/first`);
    await page.getByText('You had begun a record').waitFor();
    await on('Go on with it', 'Now from underneath');
    await pause('first-underneath');
    await take('IMG_2043.jpg');
    await on('Next', 'Now what is round it');
    await pause('first-surroundings');
    await take('IMG_2044.jpg');
    await on('Next', 'What does it smell of?');
    await page.getByRole('radio', { name: 'None noticed' }).check();
    await pause('first-smell');
    await on('Next', 'While you are here');
    await page.getByRole('button', { name: 'Keep this answer' }).waitFor();
    await page.locator('.answer').first().click();
    await pause('first-spot');
    await page.getByRole('button', { name: 'Keep this answer' }).click();
    await page.getByRole('button', { name: 'One more question' }).waitFor();
    await on('Next', 'Where did you find it?');
    await page.getByRole('button', { name: 'Use where I am now' }).click();
    await page.getByText('Where you were:').waitFor();
    await page.getByRole('checkbox', { name: 'This is our own garden' }).check();
    await pause('first-where');
    await on('Next', 'Keep your first find');
    await pause('first-keep');
    await page.getByRole('button', { name: 'Keep it', exact: true }).click();
    await page.getByRole('heading', { name: 'First find kept' }).waitFor();
    console.log(`the walk through a first find took ${((Date.now() - began - looking) / 1000).toFixed(1)} s without the looks of the checker, all of ${Date.now() - began} ms`);
    await pause('first-kept');
  });

  test('in reach it arrives, whole, with the answer that was given on the spot', async () => {
    await context.setOffline(false);
    await page.goto(`${address}/daybook`);
    await page.getByText('S26-0001').first().waitFor({ state: 'attached' });
    const book = await ask<{ finds: { id: string; has: string[] }[] }>(page, 'GET', '/daybook');
    expect(book.finds.map((f) => f.has)).toEqual([['top', 'side', 'underneath', 'surroundings']]);
    const questions = await ask<{ group: string; answered: unknown[] }>(page, 'GET', `/records/${book.finds[0]!.id}/questions`);
    expect([questions.group, questions.answered.length]).toEqual(['Mushroom with gills', 1]);
    garden = book.finds[0]!.id;
    const sheet = await ask<{ place: { garden?: boolean; known: boolean } }>(page, 'GET', `/records/${garden}`);
    expect([sheet.place.garden, sheet.place.known]).toEqual([true, true]);
    // From now on the plain form comes first; to be shown again is a link.
    await page.getByRole('link', { name: 'New record' }).waitFor();
    await page.getByRole('link', { name: /show me again/ }).click();
    await page.getByText('It takes about two minutes').waitFor();
  });

  test('a lichen is not asked for an underside', async () => {
    await on('Let us begin', 'What does it look like?');
    await page.getByRole('button', { name: 'Another form' }).click();
    await page.getByRole('radio', { name: 'Lichen, leafy' }).check();
    await on('Next', 'First from above');
    await on('Go on without it', 'Now from near by');
    await looked('first-close-up');
    await on('Go on without it', 'Now what is round it');
  });

  test('over plain HTTP, out of reach, the record is offered as a file that the program reads in', async () => {
    const browser = await openBrowser('--host-resolver-rules=MAP * 127.0.0.1');
    const plain = await browser.newPage({ viewport: { width: 390, height: 844 }, locale: 'en-GB' });
    plain.setDefaultTimeout(60_000);
    const name = address.replace('localhost', 'fungi.example');
    await plain.goto(`${name}/join#${code}`);
    await plain.getByLabel('What may we call you?').fill('Robin');
    await plain.getByRole('button', { name: 'Come in' }).click();
    await plain.getByRole('heading', { name: 'Daybook' }).waitFor();
    expect(await plain.evaluate('isSecureContext')).toBe(false);
    // A garden of somebody else's is not there for another recorder.
    expect(await plain.evaluate((id) => fetch(`/api/records/${id}`).then((r) => r.status), garden)).toBe(404);
    await plain.goto(`${name}/new`);
    await plain.getByRole('heading', { name: 'Top' }).waitFor();
    await plain.context().setOffline(true);
    await plain.locator('input[type=file]').first().setInputFiles(picture('IMG_2041.jpg'));
    await plain.getByText('Try again').first().waitFor();
    await plain.evaluate(() => { history.pushState(null, '', '/new?q=said'); dispatchEvent(new PopStateEvent('popstate')); });
    await plain.getByRole('button', { name: 'Keep the record' }).click();
    await plain.getByRole('heading', { name: 'Kept on this phone' }).waitFor();
    const [file] = await Promise.all([plain.waitForEvent('download'), plain.getByRole('button', { name: 'Save as a file' }).click()]);
    const path = join(data.path, '..', `plain-${process.pid}.zip`);
    await file.saveAs(path);
    const zip = readFileSync(path);
    rmSync(path);
    expect(zip.subarray(0, 4)).toEqual(Buffer.from('PK\u0003\u0004'));
    // The photograph lies in it by the SHA-256 that this browser reckoned itself.
    expect(zip.includes(createHash('sha256').update(readFileSync(picture('IMG_2041.jpg'))).digest('hex'))).toBe(true);
    await browser.close();
  });
});
