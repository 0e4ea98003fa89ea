/** Out of reach: the app starts cold with no network, a record is made and kept on the phone, the browser is killed, and in reach it arrives once. */
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

describe('out of reach', () => {
  const data = freshFolder('field');
  const profile = mkdtempSync(join(tmpdir(), 'trug-phone-'));
  let program: Serving;
  let address = '';
  let code = '';
  let context: BrowserContext;
  let page: Page;
  const wrong: string[] = [];

  /** opens the phone's browser, whose store lasts from one start to the next. */
  async function openPhone(): Promise<void> {
    context = await chromium.launchPersistentContext(profile, {
      executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', viewport: { width: 390, height: 844 }, locale: 'en-GB',
      args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--force-color-profile=srgb'],
    });
    page = context.pages()[0] ?? (await context.newPage());
    page.setDefaultTimeout(90_000);
    page.on('pageerror', (e) => wrong.push(e.message));
  }
  /** untilSent waits until nothing waits on the phone, and the screen says so. */
  async function untilSent(): Promise<void> {
    await expect.poll(() => page.evaluate(() => new Promise((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const n = o.result.transaction('records').objectStore('records').count(); n.onsuccess = () => { o.result.close(); done(n.result); }; }; })), { timeout: 60_000 }).toBe(0);
    await expect.poll(() => page.getByRole('heading', { name: 'Kept on this phone' }).count(), { timeout: 60_000 }).toBe(0);
  }
  /** looked lets axe look by day and by night, and takes a picture where LOOKS names a folder. */
  async function looked(name: string): Promise<void> {
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
      await page.waitForTimeout(150);
      const cdp = await context.newCDPSession(page);
      await cdp.send('Page.setBypassCSP', { enabled: false });
      const found = (await cdp.send('Runtime.evaluate', { expression: `(() => { ${axe}; return axe.run().then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.target).join('; '))); })()`, awaitPromise: true, returnByValue: true })).result.value as string[];
      expect(found, `axe on ${name}, ${colorScheme}`).toEqual([]);
      expect(await page.evaluate('document.documentElement.scrollWidth <= window.innerWidth'), `${name} scrolls sideways`).toBe(true);
      if (process.env.LOOKS) await page.screenshot({ path: join(process.env.LOOKS, `${name}-390-${colorScheme}.png`), fullPage: true });
    }
    await page.emulateMedia({ colorScheme: 'light' });
  }

  /** heldAtVersion waits until a record lies on the phone as the server has it. */
  async function heldAtVersion(id: string): Promise<void> {
    const { version } = await ask<{ version: number }>(page, 'GET', `/records/${id}`);
    await page.reload();
    const here = () => page.evaluate((id) => new Promise((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const g = o.result.transaction('held').objectStore('held').get('season'); g.onsuccess = () => { o.result.close(); done((g.result.season.records as { id: string; version: number }[] | undefined)?.find((r) => r.id === id)?.version ?? 0); }; }; }), id);
    await expect.poll(here, { timeout: 60_000 }).toBe(version);
  }

  beforeAll(async () => {
    ({ program, address, code } = await fieldSeason(data.path));
    await openPhone();
  });
  afterAll(async () => {
    await context?.close();
    await program?.stop();
    data.remove();
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    expect(wrong).toEqual([]);
  });

  test('one visit in reach, and the app is on the phone', async () => {
    await page.goto(`${address}/join#${code}`);
    await page.getByLabel('What may we call you?').fill('Wren');
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await page.reload();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await expect.poll(() => page.evaluate(() => new Promise((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const g = o.result.transaction('held').objectStore('held').get('season'); g.onsuccess = () => { o.result.close(); done(g.result !== undefined); }; }; })), { timeout: 60_000 }).toBe(true);
  });

  test('killed and started again with no network, it opens', async () => {
    for (const rate of [4, 1]) {
      await context.close();
      await openPhone();
      await context.setOffline(true);
      await page.waitForTimeout(1500); // the browser is opening pages of its own
      await (await context.newCDPSession(page)).send('Emulation.setCPUThrottlingRate', { rate });
      // Noted by the page itself: to be asked again and again would hold it up.
      await page.addInitScript(`new MutationObserver((_, o) => {
        if (document.querySelector('h1')?.textContent !== 'Daybook' || !document.body.textContent.includes('Out of reach. You can go on') || !document.querySelector('main :is(a[href="/new"], a[href="/first"])')) return;
        o.disconnect();
        requestAnimationFrame(() => setTimeout(() => { document.documentElement.dataset.stood = String(Math.round(performance.now())); }));
      }).observe(document, { childList: true, subtree: true })`);
      await page.goto(`${address}/daybook`);
      await page.waitForTimeout(rate * 1000);
      await page.getByRole('heading', { name: 'Daybook' }).waitFor();
      await page.getByText('Out of reach. You can go on').waitFor();
      await expect.poll(() => page.evaluate('document.documentElement.dataset.stood')).toBeTruthy();
      console.log(`out of reach, started cold${rate > 1 ? `, the page slowed down ${rate} times` : ''}: the Daybook stood after ${await page.evaluate('document.documentElement.dataset.stood')} ms`);
    }
    await looked('daybook-away');
  });

  test('whom to call is one tap away, with no network', async () => {
    await page.getByRole('link', { name: 'Someone has eaten some' }).click();
    await page.getByRole('link', { name: 'Emergency: 555 0100' }).waitFor();
    await page.getByRole('link', { name: 'Poison centre: 555 0199' }).waitFor();
    await looked('eaten-away');
    await page.goto(`${address}/sites`);
    await page.getByText('Old mine shafts north of the path').waitFor();
    await looked('sites-away');
  });

  test('a record with two photographs is kept on the phone, and outlasts the browser', async () => {
    await page.goto(`${address}/new`);
    for (const name of ['IMG_2041.jpg', 'IMG_2042.jpg']) await page.locator('input[type=file]').first().setInputFiles(picture(name));
    // Tried in vain, so they wait.
    await page.getByRole('button', { name: 'Leave it out' }).or(page.getByText('Try again')).first().waitFor();
    await expect.poll(() => page.evaluate(() => new Promise((done) => { const o = indexedDB.open('trug'); o.onsuccess = () => { const g = o.result.transaction('waiting').objectStore('waiting').count(); g.onsuccess = () => { o.result.close(); done(g.result); }; }; }))).toBe(2);
    await page.goto(`${address}/new?q=said`);
    await page.getByRole('button', { name: 'Keep the record' }).click();
    await page.getByRole('heading', { name: 'Kept on this phone' }).waitFor();
    await looked('kept-here');
    await context.close();
    await openPhone();
    await context.setOffline(true);
    await page.goto(`${address}/daybook`);
    await page.getByRole('heading', { name: 'Kept on this phone' }).waitFor();
    await page.getByText('2 photographs.').waitFor();
    await looked('daybook-kept-here');
  });

  test('in reach it is sent by itself, arrives once, and only then leaves the phone', async () => {
    await context.setOffline(false);
    await page.goto(`${address}/daybook`);
    await page.getByText('S26-0001').first().waitFor({ state: 'attached' });
    await untilSent();
    const book = await ask<{ finds: { has: string[] }[] }>(page, 'GET', '/daybook');
    expect(book.finds.length).toBe(1);
    expect(book.finds[0]!.has).toEqual(['top', 'side']);
    expect(await page.evaluate(() => new Promise((done) => { const o = indexedDB.open('trug'); o.onsuccess = () => { const g = o.result.transaction('waiting').objectStore('waiting').count(); g.onsuccess = () => { o.result.close(); done(g.result); }; }; }))).toBe(0);
  });

  test('a record that the server has is changed out of reach; the desk changes it too, and nothing is lost', async () => {
    const id = (await ask<{ finds: { id: string }[] }>(page, 'GET', '/daybook')).finds[0]!.id;
    await expect.poll(() => page.evaluate(() => new Promise((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const g = o.result.transaction('held').objectStore('held').get('season'); g.onsuccess = () => { o.result.close(); done(g.result.season.records?.length ?? 0); }; }; })), { timeout: 60_000 }).toBe(1);
    await context.close();
    await openPhone();
    await context.setOffline(true);
    await page.goto(`${address}/daybook`);
    await page.getByText('These are your latest records').waitFor();
    await looked('daybook-latest-away');
    await page.getByRole('link', { name: /S26-0001.*Change it/ }).click();
    await page.getByRole('heading', { name: 'Views' }).or(page.getByText('S26-0001').first()).first().waitFor();
    const says = async (q: string, label: string, text: string) => {
      await page.goto(`${address}/record/${id}/change?q=${q}`);
      await page.getByLabel(label).fill(text);
    };
    await says('substrate', 'Which tree or plant, if you know', 'hornbeam');
    await page.waitForTimeout(300); // the draft is written as it is typed
    await says('remarks', 'Anything else?', 'snails on it');
    await page.waitForTimeout(300);
    await page.goto(`${address}/record/${id}/change?q=said`);
    await page.getByRole('button', { name: 'Keep the changes' }).click();
    await page.getByRole('heading', { name: 'Kept on this phone' }).waitFor();
    await page.getByText('What you changed is on this phone').waitFor();
    await looked('changed-here');
    await page.goto(`${address}/daybook`);
    await page.getByText('what you changed of it out of reach').waitFor();
    await looked('daybook-changed-here');
    // What waits is changed once more: it stays one change.
    await page.goto(`${address}/record/${id}/change?q=remarks`);
    expect(await page.getByLabel('Anything else?').inputValue()).toBe('snails on it');
    await page.getByLabel('Anything else?').fill('snails on it, and a fly');
    await page.waitForTimeout(300);
    await page.goto(`${address}/record/${id}/change?q=said`);
    await page.getByRole('button', { name: 'Keep the changes' }).click();
    await page.getByRole('heading', { name: 'Kept on this phone' }).waitFor();

    // Meanwhile at the desk.
    const browser = await openBrowser();
    const desk = await (await browser.newContext({ serviceWorkers: 'block' })).newPage();
    await desk.goto(address);
    await ask(desk, 'POST', '/come-in/password', { name: 'Ottoline Marchbank', password: 'mossy heron by lamplight' });
    const sheet = await ask<{ editable: object }>(desk, 'GET', `/records/${id}`);
    await ask(desk, 'PUT', `/records/${id}`, { ...sheet.editable, remarks: 'the label says oak wood', outsideIsOK: true, dateIsOK: true });

    await context.setOffline(false);
    await page.goto(`${address}/daybook`);
    await page.getByText('S26-0001 has arrived.').waitFor();
    await looked('daybook-changed-meanwhile');
    await untilSent();
    const now = await ask<{ editable: { remarks: string; host: string; views: unknown[] } }>(desk, 'GET', `/records/${id}`);
    expect([now.editable.remarks, now.editable.host, now.editable.views.length]).toEqual(['the label says oak wood', 'hornbeam', 2]);
    const history = JSON.stringify(await ask(desk, 'GET', `/records/${id}/history`));
    for (const told of ['snails on it, and a fly', 'the label says oak wood', 'hornbeam']) expect(history).toContain(told);
    await browser.close();
  });

  test('more is asked of a kept record out of reach, as the server asks it, and what is answered arrives', async () => {
    const id = (await ask<{ finds: { id: string }[] }>(page, 'GET', '/daybook')).finds[0]!.id;
    type Asked = { questions: { character: string; question: string; states: { state: string; label: string }[] }[]; answered: { character: string }[] };
    const before = await ask<Asked>(page, 'GET', `/records/${id}/questions`);
    await heldAtVersion(id);
    await context.close();
    await openPhone();
    await context.setOffline(true);
    await page.goto(`${address}/daybook`);
    await page.getByRole('link', { name: /What would help most.*S26-0001/ }).click();
    await page.getByText('Out of reach: this is your record').waitFor();
    await page.getByRole('button', { name: /Answer (a question|up to)/ }).click();
    const first = before.questions[0]!;
    await page.getByRole('group', { name: first.question }).waitFor();
    await looked('asked-more-away');
    const state = first.states[0]!;
    await page.getByRole('checkbox', { name: state.label }).first().check();
    await page.getByRole('button', { name: 'Keep this answer' }).click();
    await page.getByText('That is kept.').waitFor();
    await page.getByRole('button', { name: /^Take back/ }).waitFor();
    const second = await page.locator('legend').first().textContent();
    await looked('answered-more-away');
    // It outlasts the browser, and goes along with what else waits of the record.
    await context.close();
    await openPhone();
    await context.setOffline(true);
    await page.goto(`${address}/record/${id}`);
    await page.getByText('with what you have changed of it since').waitFor();
    await page.getByRole('button', { name: /^Take back/ }).waitFor();
    await context.setOffline(false);
    await page.goto(`${address}/daybook`);
    await untilSent();
    await expect.poll(async () => (await ask<Asked>(page, 'GET', `/records/${id}/questions`)).answered.map((a) => a.character), { timeout: 60_000 }).toEqual([first.character]);
    const after = await ask<Asked>(page, 'GET', `/records/${id}/questions`);
    expect(after.questions[0]!.question).toBe(second?.trim());
  });

  test('which view a photograph is that the server has is changed out of reach, and what the desk called it stays in the history', async () => {
    const id = (await ask<{ finds: { id: string }[] }>(page, 'GET', '/daybook')).finds[0]!.id;
    await heldAtVersion(id);
    await context.close();
    await openPhone();
    await context.setOffline(true);
    await page.goto(`${address}/record/${id}/change`);
    const choices = page.getByRole('combobox', { name: /view/i });
    await choices.nth(1).waitFor();
    await choices.nth(1).selectOption('close-up');
    await page.waitForTimeout(300);
    await looked('renamed-away');
    await page.goto(`${address}/record/${id}/change?q=said`);
    await page.getByRole('button', { name: 'Keep the changes' }).click();
    await page.getByRole('heading', { name: 'Kept on this phone' }).waitFor();
    await page.goto(`${address}/record/${id}`);
    await page.getByText('Top, Close-up').waitFor();
    await looked('renamed-held');
    await context.setOffline(false);
    await page.goto(`${address}/daybook`);
    await untilSent();
    const now = await ask<{ editable: { views: { kind: string; renamed?: number }[] } }>(page, 'GET', `/records/${id}`);
    expect(now.editable.views.map((v) => [v.kind, v.renamed ?? 0])).toEqual([['top', 0], ['close-up', 1]]);
    expect(JSON.stringify(await ask(page, 'GET', `/records/${id}/history`))).toContain('A view was named close-up');
  });
});
