/**
 * Recorders' screens in other languages: a language for tests, in brackets, with accents and longer, shows what is not
 * translated and what does not fit; another one shows the same from right to left. What people wrote is in Greek letters
 * here, so whatever stands in plain Latin letters is English that was forgotten. And German by the browser's own choice,
 * French by that of whoever holds the phone.
 */
import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openBrowser, phone } from './person';
import { freshFolder, serve, type Serving } from './program';

/** What no catalogue holds: names of fungi and standards, codes, what a program reads. */
const said = '[translate=no], .fungus, i, .named, kbd, code, script, style, noscript, option[lang], a[href^="tel:"]';

/** Latin letters that are no words of English: units, notations, the program's name, points of the compass. */
const noEnglish = /\b(?:Trug|CIE|ISCC-NBS|Munsell|Darwin|Ridgway|JPEG|HEIC|HTTPS?|UTC|Chrome|Linux|WebP|GPS|CC-BY-4\.0|[A-Z]\d\d-\d{4}|S26)\b|\d+[,.]?\d*\s?(?:mm|cm|m|km|kB|MB)\b|L\*|[ab]\*/g;

/** plain lists texts on the page that are in plain English, and names that only readers hear. */
const plain = (page: Page): Promise<string[]> =>
  page.evaluate(
    ({ said, noEnglish }) => {
      const out: string[] = [];
      const english = (text: string) => /[A-Za-z]{3}/.test(text.replace(new RegExp(noEnglish, 'g'), ''));
      const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
      for (let n = walk.nextNode(); n; n = walk.nextNode()) {
        if (!n.parentElement!.closest(said) && english(n.textContent ?? '')) out.push((n.textContent ?? '').trim().slice(0, 120));
      }
      for (const e of document.querySelectorAll('[aria-label], [placeholder], [alt], [title], [aria-valuetext]')) {
        if (e.closest('[translate=no]')) continue;
        for (const name of ['aria-label', 'placeholder', 'alt', 'title', 'aria-valuetext']) if (english(e.getAttribute(name) ?? '')) out.push(`${name}: ${e.getAttribute(name)!.slice(0, 120)}`);
      }
      if (english(document.title)) out.push(`title: ${document.title}`);
      return out;
    },
    { said, noEnglish: noEnglish.source },
  );

/** overflowing lists what is wider than where it stands, or cut off in it. */
const overflowing = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const out: string[] = [];
    const text = (e: Element) => `${e.tagName.toLowerCase()} ${e.textContent?.trim().slice(0, 40)}`;
    if (document.documentElement.scrollWidth > innerWidth) out.push(`the page scrolls sideways by ${document.documentElement.scrollWidth - innerWidth}`);
    for (const e of document.querySelectorAll<HTMLElement>('h1, h2, h3, p, a, button, label, li, dd, dt, legend, summary, select, span')) {
      const r = e.getBoundingClientRect();
      if (r.width < 2 || e.closest('.aside, .skip, svg')) continue;
      const style = getComputedStyle(e);
      if (r.left < -1 || r.right > innerWidth + 1) out.push(`reaches out: ${text(e)}`);
      else if (style.overflowX !== 'visible' && style.textOverflow !== 'ellipsis' && e.scrollWidth > e.clientWidth + 1) out.push(`cut off: ${text(e)}`);
      else if (e.matches('a.do, button') && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2) && style.display !== 'inline') out.push(`does not hold its words: ${text(e)}`);
    }
    return [...new Set(out)];
  });

/** Greek words, for whatever people write themselves. */
const ours = { season: 'Μύκητες του λόφου', place: 'Λόφος', person: 'Ελένη', coordinator: 'Σοφία Δάσους', site: 'Παλιό δάσος', hazard: 'Παλιά πηγάδια', name: 'Κοκκινομανίταρο', remark: 'κάτω από οξιά' };

describe('recorders’ screens in other languages', () => {
  const data = freshFolder('languages');
  let program: Serving;
  let browser: Browser;
  let desk: Page;
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
    desk = await (await browser.newContext({ serviceWorkers: 'block' })).newPage();
    desk.setDefaultTimeout(90_000);
    await desk.goto([...program.links.values()][0]!);
    const made = await ask<{ link: string }>(desk, 'POST', '/seasons', {
      code: 'S26', title: ours.season, place: ours.place, starts: '2026-09-19', ends: '2026-11-08', zone: 'Etc/GMT+1', licence: 'CC-BY-4.0', coordinator: ours.coordinator,
      box: { west: -20.1, east: -19.8, north: 48.6, south: 48.45 },
    });
    await desk.goto(program.address + made.link);
    await desk.reload();
    await desk.getByLabel('Password', { exact: true }).fill('mossy heron by lamplight');
    await desk.getByRole('button', { name: 'Use this password' }).click();
    await desk.getByRole('heading', { name: 'You are in', exact: true }).waitFor();
    const settings = await ask<object>(desk, 'GET', '/settings');
    await ask(desk, 'PUT', '/settings', { ...settings, emergency: '555 0100', poisonCentre: '555 0199' });
    await ask(desk, 'PUT', '/sites/01999999-0000-7000-8000-000000000001', {
      id: '', code: 'S1', name: ours.site, lat: 48.521, lon: -19.954, radius: 300, habitat: [], outline: [], hazards: [ours.hazard], open: true, forays: 0, records: 0, notes: [], permission: { words: 'ναι', pick: 'no' },
    });
    await ask(desk, 'POST', '/settings/open', {});
    ({ code } = await ask<{ code: string }>(desk, 'PUT', '/field-code', { code: '', lets: false, last: '2026-11-08', renew: true }));
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
    data.remove();
  });

  /** phoneIn opens a phone in a kept language or a browser's. */
  async function phoneIn(kept: string, locale = 'en-GB', viewport = phone): Promise<Page> {
    const context = await browser.newContext({ viewport, locale, serviceWorkers: 'block' });
    const page = await context.newPage();
    page.setDefaultTimeout(90_000);
    if (kept !== '') await context.addInitScript(`localStorage.getItem('trug.language') ?? localStorage.setItem('trug.language', '${kept}')`);
    return page;
  }
  async function comeIn(page: Page): Promise<void> {
    await page.goto(`${program.address}/eaten`); // another address: going on to a mark alone loads nothing
    await page.goto(`${program.address}/join#${code}`);
    await page.locator('#name').fill(ours.person);
    await page.locator('main button[type=submit]').click();
    await page.waitForURL('**/daybook');
    await page.locator('main h1').waitFor();
  }

  /** handsIn hands in photographs and makes records of them, and has more asked for of one. */
  async function handsIn(page: Page, run: number): Promise<{ full: string; bare: string }> {
    const id = (n: number) => `01999999-0000-7000-8000-0000000${run}${n.toString().padStart(4, '0')}`;
    const photograph = async (file: string) => {
      const bytes = readFileSync(new URL(`files/${file}`, import.meta.url)).toString('base64');
      return page.evaluate(
        async ({ bytes, file }) => {
          const body = Uint8Array.from(atob(bytes), (c) => c.charCodeAt(0));
          const r = await fetch(`/api/photographs?name=${file}`, { method: 'POST', headers: { 'Content-Type': 'application/octet-stream' }, body });
          if (!r.ok) throw new Error(await r.text());
          return ((await r.json()) as { id: string }).id;
        },
        { bytes, file },
      );
    };
    const files = run === 0 ? ['IMG_2041.jpg', 'IMG_2042.jpg'] : ['IMG_2043.jpg', 'IMG_2044.jpg'];
    const place = { lat: 48.521, lon: -19.954, uncertainty: 20, source: 'pin' };
    await ask(page, 'PUT', `/records/${id(1)}`, {
      found: { date: '2026-10-10', time: '11:20:00' }, place, form: 'gilled', substrate: 'litter_leaf', habit: 'gregarious', ripeness: 'mature', smell: 'mealy', numberSeen: 3, fieldName: ours.name, remarks: ours.remark,
      views: [{ photograph: await photograph(files[0]!), kind: 'top' }, { photograph: await photograph(files[1]!), kind: 'side' }],
    });
    await ask(page, 'PUT', `/records/${id(2)}`, { found: { date: '2026-10-10' }, fieldName: ours.name, views: [] });
    await ask(page, 'PUT', `/records/${id(1)}`, { found: { date: '2026-10-10', time: '11:30:00' }, place, form: 'gilled', substrate: 'moss', habit: 'gregarious', fieldName: ours.name, remarks: ours.remark, views: [] }).catch(() => undefined);
    for (const [n, what] of [[3, { view: 'cut' }], [4, { view: 'underneath' }], [5, { what: 'size' }], [6, { what: 'specimen' }]] as const) await ask(desk, 'POST', `/records/${id(1)}/requests`, { id: id(n), ...what }).catch(() => undefined);
    return { full: id(1), bare: id(2) };
  }

  for (const [run, tag, dir, viewport] of [[0, 'en-XA', 'ltr', { width: 360, height: 740 }], [1, 'en-XB', 'rtl', phone]] as const) {
    test(`everything is translated and fits, ${dir}`, async () => {
      const page = await phoneIn(tag, 'en-GB', viewport);
      const faults: string[] = [];
      const look = async (where: string) => {
        await page.locator('main h1').first().waitFor();
        await page.waitForTimeout(600);
        for (const text of await plain(page)) faults.push(`${where}: in plain English: ${text}`);
        for (const text of await overflowing(page)) faults.push(`${where}: does not fit: ${text}`);
        if (process.env.LOOKS) await page.screenshot({ path: `${process.env.LOOKS}/${tag}-${where.replace(/\W+/g, '-')}.png`, fullPage: true });
      };
      const visit = async (path: string, where = path) => {
        await page.goto(program.address + path);
        await look(where);
      };
      await visit('/', 'front');
      expect(await page.evaluate('document.documentElement.dir')).toBe(dir);
      await visit('/sign-in');
      await visit('/nowhere/at/all');
      await visit('/join');
      await page.locator('#code').fill('WRONG');
      await page.locator('#name').fill(ours.person);
      await page.locator('main button[type=submit]').click();
      await page.locator('[aria-invalid=true]').waitFor();
      await look('join refused');
      await comeIn(page);
      await look('daybook, empty');
      for (const path of ['/new', '/eaten', '/sites', '/me', '/me/kept']) await visit(path);
      for (const q of ['when', 'where', 'form', 'substrate', 'habit', 'number', 'ripeness', 'smell', 'name', 'remarks', 'said']) await visit(`/new?q=${q}`);
      // What is no photograph, a picture of a screen, and more than a record holds; then an answer given on the spot.
      await page.goto(`${program.address}/new`);
      const several = page.locator('input[type=file][multiple]');
      await several.setInputFiles([{ name: 'α', mimeType: 'image/jpeg', buffer: Buffer.alloc(0) }, { name: 'β', mimeType: 'video/mp4', buffer: Buffer.from('x') }, { name: 'γ', mimeType: 'text/plain', buffer: Buffer.from('x') }, { name: 'δ', mimeType: 'image/png', buffer: Buffer.from('x') }]);
      await expect.poll(() => page.getByRole('alert').count()).toBeGreaterThanOrEqual(4);
      await look('new, refused');
      await several.setInputFiles(Array.from({ length: 62 }, (_, n) => ({ name: `ε${n}`, mimeType: '', buffer: Buffer.from('x') })));
      await look('new, too many');
      await page.goto(`${program.address}/new?q=spot`);
      await page.locator('main form input').first().check();
      await page.locator('main form button[type=submit]').click();
      await page.locator('main .given').waitFor();
      await look('spot, answered');
      await visit('/new?q=said', 'new, spot said');
      const { full, bare } = await handsIn(page, run);
      await visit('/daybook');
      for (const path of [`/record/${full}`, `/record/${bare}`, `/record/${full}/change`, `/record/${full}/change?q=said`, `/me/kept?record=${full}`]) await visit(path, path.replace(/[\da-f-]{36}/, 'id'));
      await page.goto(`${program.address}/record/${full}`);
      await page.locator('details summary').first().waitFor();
      for (const summary of await page.locator('main details summary').all()) await summary.click();
      await look('sheet, all open');
      expect([...new Set(faults)]).toEqual([]);
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
