/** The colour of a cap: marked by keys in the large view, kept, filled into the description, corrected anew when the card's colours are entered, and found in the Record book. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { uuidv7 } from '../src/uuidv7';
import { openBrowser } from './person';
import { freshFolder, serve, type Serving } from './program';

const axe = readFileSync(fileURLToPath(new URL('../node_modules/axe-core/axe.min.js', import.meta.url)), 'utf8');
const path = (name: string) => fileURLToPath(new URL(`files/${name}`, import.meta.url));

describe('the colour of a cap', () => {
  const data = freshFolder('colours');
  let program: Serving;
  let address = '';
  let browser: Browser;
  let page: Page;
  let number = '';
  const record = uuidv7();
  const wrong: string[] = [];

  /** looked lets axe look at the page at 390 and 1280 pixels, by day and by night, and takes a picture where LOOKS names a folder. */
  async function looked(name: string): Promise<void> {
    for (const width of [390, 1280]) {
      await page.setViewportSize({ width, height: 900 });
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
        await page.waitForTimeout(150);
        const found = await page.evaluate(`(() => { ${axe}; return axe.run().then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.target + ' ' + n.failureSummary).join('; '))); })()`);
        expect(found, `axe on ${name} at ${width}, ${colorScheme}`).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth <= window.innerWidth'), `${name} scrolls sideways at ${width}`).toBe(true);
        if (process.env.LOOKS) await page.screenshot({ path: join(process.env.LOOKS, `${name}-${width}-${colorScheme}.png`), fullPage: true });
      }
    }
    await page.emulateMedia({ colorScheme: 'light' });
  }
  const ask = <T>(method: string, at: string, body?: unknown): Promise<T> =>
    page.evaluate(
      async ({ method, at, body }) => {
        const r = await fetch(`/api${at}`, { method, headers: { 'Content-Type': 'application/json' }, body: body === undefined ? undefined : JSON.stringify(body) });
        if (!r.ok) throw new Error(`${at}: ${r.status} ${await r.text()}`);
        return r.headers.get('Content-Type')?.includes('json') ? r.json() : undefined;
      },
      { method, at, body },
    ) as Promise<T>;

  beforeAll(async () => {
    program = await serve('serve', data.path, { today: '2026-10-10' });
    address = program.address.replace('127.0.0.1', 'localhost');
    browser = await openBrowser();
    page = await (await browser.newContext({ viewport: { width: 1280, height: 900 }, locale: 'en-GB', bypassCSP: true })).newPage();
    page.setDefaultTimeout(90_000);
    page.on('pageerror', (e) => wrong.push(e.message));
    await page.goto([...program.links.values()][0]!.replace('127.0.0.1', 'localhost'));
    const made = await ask<{ link: string }>('POST', '/seasons', {
      code: 'S26', title: 'Fungi of Sallow Down', place: 'Sallow Down', starts: '2026-09-19', ends: '2026-11-08', zone: 'Etc/GMT+1', licence: 'CC-BY-4.0', coordinator: 'Ottoline Marchbank',
      box: { west: -20.1, east: -19.8, north: 48.6, south: 48.45 },
    });
    await page.goto(address + made.link);
    await page.reload();
    await page.getByLabel('Password', { exact: true }).fill('mossy heron by lamplight');
    await page.getByRole('button', { name: 'Use this password' }).click();
    await page.getByRole('heading', { name: 'You are in', exact: true }).waitFor();
    // The first printing of pocket cards: the one in the photograph.
    await ask('POST', '/cards', { id: uuidv7(), layout: 'pocket', paper: 'A4' });
    const bytes = readFileSync(path('card-pocket-0.jpg')).toString('base64');
    const photograph = await page.evaluate(async (bytes) => {
      const r = await fetch('/api/photographs?name=cap.jpg', { method: 'POST', headers: { 'Content-Type': 'application/octet-stream' }, body: Uint8Array.from(atob(bytes), (c) => c.charCodeAt(0)) });
      return ((await r.json()) as { id: string }).id;
    }, bytes);
    ({ number } = await ask<{ number: string }>('PUT', `/records/${record}`, { found: { date: '2026-10-09' }, fieldName: 'Hygrocybe', form: 'gilled', views: [{ photograph, kind: 'top' }] }));
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
    data.remove();
    expect(wrong).toEqual([]);
  });

  async function large() {
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.goto(`${address}/record/${record}`);
    await page.getByRole('button', { name: `Top of ${number}: open large` }).press('Enter');
    const dialog = page.getByRole('dialog', { name: `Top of ${number}, large` });
    await dialog.getByRole('button', { name: 'Colour', exact: true }).press('Enter');
    await dialog.getByLabel('What is it the colour of?').waitFor();
    return dialog;
  }

  test('it is marked by keys, named with how sure it is, and kept', async () => {
    const dialog = await large();
    await dialog.getByRole('button', { name: 'Mark the middle' }).press('Enter');
    const mark = dialog.getByRole('button', { name: /^Mark, 690 across, 360 down/ });
    await mark.focus();
    // From the middle of the picture to the smaller cap.
    for (let n = 0; n < 33; n++) await page.keyboard.press('Shift+ArrowRight');
    for (let n = 0; n < 20; n++) await page.keyboard.press('Shift+ArrowDown');
    await dialog.getByRole('button', { name: /^Mark, 1,020 across, 560 down/ }).waitFor();
    await dialog.getByLabel('What is it the colour of?').selectOption('cap_color');
    await dialog.getByText('The colours of this printing of the card were never measured').waitFor();
    expect(await dialog.locator('.result').textContent()).toMatch(/orange|red/);
    expect(await dialog.locator('.result').textContent()).toMatch(/L\* \d+, a\* \d+, b\* \d+; (give or take|very unsure)/);
    await looked('colour-greys');
    await page.setViewportSize({ width: 1280, height: 900 });
    await dialog.getByRole('button', { name: 'Keep this colour' }).press('Enter');
    await dialog.getByRole('heading', { name: 'Kept colours of this view' }).waitFor();
  });

  test('as taken and as corrected lie one key apart', async () => {
    const dialog = await large();
    const picture = dialog.getByRole('img', { name: `Top of ${number}` });
    expect(await picture.getAttribute('src')).toMatch(/\/photographs\//);
    await dialog.getByRole('button', { name: 'Smaller' }).focus();
    await page.keyboard.press('c');
    await expect.poll(() => picture.getAttribute('src')).toMatch(/\/corrected$/);
    await expect.poll(() => picture.evaluate((e) => (e as HTMLImageElement).complete && (e as HTMLImageElement).naturalWidth > 0)).toBe(true);
    await dialog.getByRole('button', { name: 'Show it as taken' }).waitFor();
    await page.keyboard.press('c');
    await expect.poll(() => picture.getAttribute('src')).toMatch(/\/photographs\//);
  });

  test('the card’s colours are entered with a clear refusal of a wrong table, and the colour is surer', async () => {
    await page.goto(`${address}/desk/cards`);
    await page.getByText('Enter its colours').click();
    const input = page.locator('input[type=file][accept*=csv]');
    await input.setInputFiles({ name: 'a.csv', mimeType: 'text/csv', buffer: Buffer.from('patch,L*\nochre,61\n') });
    await page.getByText(/has no column/).waitFor();
    // One that can't be read names the cell.
    const good = readFileSync(path('card-colours.csv'), 'utf8');
    await input.setInputFiles({ name: 'b.csv', mimeType: 'text/csv', buffer: Buffer.from(good.replace('lemon,', 'lemon,bright ')) });
    await page.getByText(/line 3, column L\*: expected a number from 0 to 105 for “?"?lemon/).waitFor();
    await looked('colour-cards-refused');
    await input.setInputFiles(path('card-colours.csv'));
    await page.getByText(/its colours are taken in\./).waitFor();
    // Measuring anew goes on behind the screen, which tells when none is left.
    await page.getByText(/still to be measured anew/).waitFor({ state: 'detached' });
    await looked('colour-cards');
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.goto(`${address}/record/${record}`);
    const strip = page.getByRole('region', { name: 'Colours' });
    await strip.getByText(/sure to within|give or take a small step/).waitFor();
    await looked('colour-sheet');
  });

  test('it fills the description, which keeps where it came from, and the history tells both', async () => {
    await page.goto(`${address}/record/${record}`);
    await page.getByText('How it was measured').click();
    await page.getByRole('button', { name: 'Fill in the description from it' }).click();
    await page.getByText('the description is filled in from this colour').waitFor();
    await page.reload();
    await page.getByText(/From the colour measured in the view top/).waitFor();
    const history = await ask<{ what: string }[]>('GET', `/records/${record}/history`);
    expect(history.some((h) => /colours of the card's printing were entered/.test(h.what))).toBe(true);
  });

  test('a bruised spot is compared with it', async () => {
    const dialog = await large();
    await dialog.getByLabel('What was done to it first?').selectOption('bruised');
    await dialog.getByLabel('Compare it with the colour before').selectOption({ index: 1 });
    await dialog.getByRole('button', { name: 'Mark the middle' }).press('Enter');
    await dialog.getByRole('button', { name: /^Mark, 690/ }).focus();
    for (let n = 0; n < 63; n++) await page.keyboard.press('Shift+ArrowRight'); // the ground
    await dialog.getByText(/The change:.*strongly/).waitFor();
    await looked('colour-change');
  });

  test('the Record book finds it by name and by nearness', async () => {
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.goto(`${address}/book`);
    await page.getByLabel('Called').selectOption({ label: 'orange' });
    await page.getByText('1 record').first().waitFor();
    await page.goto(`${address}/book?colour=%23be3c28&within=5&sort=colour`);
    await page.getByText(/\d\.\d off/).waitFor();
    await looked('colour-book');
    await page.goto(`${address}/book?colour=%233c28be&within=10&sort=colour`);
    await page.getByText('No record answers to all of this.').waitFor();
  });
});
