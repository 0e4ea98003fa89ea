/**
 * Recorders' screens in other languages: a language for tests shows what is not translated and what does not fit, the
 * same from right to left; and German by the browser's own choice, French by that of whoever holds the phone.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openBrowser, phone } from './person';
import { freshFolder, serve, type Serving } from './program';

/** What people or the server said, which no catalogue holds: names, the season's own words, the vocabulary. */
const said = '[translate=no], [lang]:not(html), .season, .person, .answer .words, .wrong, .num, input, textarea, select';

/** plain lists texts on the page that are in plain English. */
const plain = (page: Page): Promise<string[]> =>
  page.evaluate((said) => {
    const out: string[] = [];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let n = walk.nextNode(); n; n = walk.nextNode()) {
      const on = n.parentElement!;
      if (on.closest(said) || on.closest('script, style, noscript')) continue;
      if (/[A-Za-z]{3}/.test(n.textContent ?? '')) out.push((n.textContent ?? '').trim());
    }
    for (const e of document.querySelectorAll('[aria-label], [placeholder], [alt], [title]')) {
      if (e.closest(said) && !e.matches('input, textarea')) continue;
      for (const name of ['aria-label', 'placeholder', 'alt', 'title']) if (/[A-Za-z]{3}/.test(e.getAttribute(name) ?? '')) out.push(`${name}: ${e.getAttribute(name)}`);
    }
    return out;
  }, said);

/** overflowing lists what is wider than where it stands. */
const overflowing = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const out: string[] = [];
    if (document.documentElement.scrollWidth > innerWidth) out.push('the page scrolls sideways');
    for (const e of document.querySelectorAll<HTMLElement>('h1, h2, p, a, button, label, li, dd, dt, legend')) {
      const r = e.getBoundingClientRect();
      if (r.width === 0 || e.closest('.aside, .skip, .ticks')) continue;
      if (r.left < -1 || r.right > innerWidth + 1) out.push(`${e.tagName} ${e.textContent?.trim().slice(0, 40)}`);
    }
    return out;
  });

describe('recorders’ screens in other languages', () => {
  const data = freshFolder('languages');
  let program: Serving;
  let browser: Browser;
  let code = '';

  const ask = <T>(on: Page, method: string, path: string, body?: unknown): Promise<T> =>
    on.evaluate(
      async ({ method, path, body }) => {
        const r = await fetch(`/api${path}`, { method, headers: { 'Content-Type': 'application/json' }, body: body === undefined ? undefined : JSON.stringify(body) });
        if (!r.ok) throw new Error(`${path}: ${r.status} ${await r.text()}`);
        return r.json();
      },
      { method, path, body },
    ) as Promise<T>;

  beforeAll(async () => {
    program = await serve('serve', data.path, { today: '2026-10-10' });
    browser = await openBrowser();
    const coordinator = await (await browser.newContext({ serviceWorkers: 'block' })).newPage();
    coordinator.setDefaultTimeout(90_000);
    await coordinator.goto([...program.links.values()][0]!);
    const made = await ask<{ link: string }>(coordinator, 'POST', '/seasons', {
      code: 'S26', title: 'Fungi of Sallow Down', place: 'Sallow Down', starts: '2026-09-19', ends: '2026-11-08', zone: 'Etc/GMT+1', licence: 'CC-BY-4.0', coordinator: 'Ottoline Marchbank',
      box: { west: -20.1, east: -19.8, north: 48.6, south: 48.45 },
    });
    await coordinator.goto(program.address + made.link);
    await coordinator.reload();
    await coordinator.getByLabel('Password', { exact: true }).fill('mossy heron by lamplight');
    await coordinator.getByRole('button', { name: 'Use this password' }).click();
    await coordinator.getByRole('heading', { name: 'You are in', exact: true }).waitFor();
    const settings = await ask<object>(coordinator, 'GET', '/settings');
    await ask(coordinator, 'PUT', '/settings', { ...settings, emergency: '555 0100', poisonCentre: '555 0199' });
    await ask(coordinator, 'PUT', '/sites/01999999-0000-7000-8000-000000000001', {
      id: '', code: 'S1', name: 'Sallow Copse', lat: 48.521, lon: -19.954, radius: 300, habitat: [], outline: [], hazards: ['Old mine shafts'], open: true, forays: 0, records: 0, notes: [], permission: { words: 'yes' },
    });
    await ask(coordinator, 'POST', '/settings/open', {});
    ({ code } = await ask<{ code: string }>(coordinator, 'PUT', '/field-code', { code: '', lets: false, last: '2026-11-08', renew: true }));
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
    data.remove();
  });

  /** phoneIn opens a phone that somebody has come in by, in a kept language or a browser's. */
  async function phoneIn(kept: string, locale = 'en-GB'): Promise<Page> {
    const context = await browser.newContext({ viewport: phone, locale, serviceWorkers: 'block' });
    const page = await context.newPage();
    page.setDefaultTimeout(90_000);
    if (kept !== '') await context.addInitScript(`localStorage.getItem('trug.language') ?? localStorage.setItem('trug.language', '${kept}')`);
    return page;
  }
  async function comeIn(page: Page): Promise<void> {
    await page.goto(`${program.address}/eaten`); // another address: going on to a mark alone loads nothing
    await page.goto(`${program.address}/join#${code}`);
    await page.locator('#name').fill('Wren');
    await page.locator('main button[type=submit]').click();
    await page.waitForURL('**/daybook');
    await page.locator('main h1').waitFor();
  }

  for (const [tag, dir] of [['en-XA', 'ltr'], ['en-XB', 'rtl']] as const) {
    test(`everything is translated and fits, ${dir}`, async () => {
      const page = await phoneIn(tag);
      const faults: string[] = [];
      const look = async (where: string) => {
        await page.locator('main h1').first().waitFor();
        await page.waitForTimeout(400);
        for (const text of await plain(page)) faults.push(`${where}: in plain English: ${text}`);
        for (const text of await overflowing(page)) faults.push(`${where}: does not fit: ${text}`);
        if (process.env.LOOKS) await page.screenshot({ path: `${process.env.LOOKS}/${tag}-${where.replace(/\W+/g, '-')}.png`, fullPage: true });
      };
      await page.goto(`${program.address}/`);
      await look('front');
      expect(await page.evaluate('document.documentElement.dir')).toBe(dir);
      await page.goto(`${program.address}/join`);
      await look('join');
      await comeIn(page);
      await look('daybook');
      for (const path of ['/new', '/eaten', '/sites']) {
        await page.goto(program.address + path);
        await look(path);
      }
      for (const q of ['when', 'where', 'form', 'substrate', 'habit', 'number', 'ripeness', 'smell', 'name', 'remarks', 'said']) {
        await page.goto(`${program.address}/new?q=${q}`);
        await look(`new ${q}`);
      }
      expect(faults).toEqual([]);
      await page.context().close();
    });
  }

  test('the browser’s language is spoken, another can be chosen, and stays', async () => {
    const page = await phoneIn('', 'de-AT');
    await comeIn(page);
    await page.getByRole('heading', { name: 'Tagebuch' }).waitFor();
    expect(await page.evaluate('document.documentElement.lang')).toBe('de');
    await page.getByLabel('Sprache').selectOption('fr');
    await page.getByRole('heading', { name: 'Carnet' }).waitFor();
    await page.reload();
    await page.getByRole('heading', { name: 'Carnet' }).waitFor();
    expect(await page.evaluate('document.documentElement.lang')).toBe('fr');
    await page.getByLabel('Langue').selectOption('en');
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await page.context().close();
  });
});
