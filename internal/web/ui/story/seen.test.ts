/** A person can be seen: a reader marks a view, its recorder crops by keys, the coordinator crops and clears, and the audit tells of it. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { uuidv7 } from '../src/uuidv7';
import { openBrowser } from './person';
import { complaints, freshFolder, serve, type Serving } from './program';

const axe = readFileSync(fileURLToPath(new URL('../node_modules/axe-core/axe.min.js', import.meta.url)), 'utf8');
const file = (name: string) => readFileSync(fileURLToPath(new URL(`files/${name}`, import.meta.url))).toString('base64');

describe('a person can be seen', () => {
  const data = freshFolder('seen');
  let program: Serving;
  let address = '';
  let browser: Browser;
  let coordinator: Page, recorder: Page, reader: Page;
  let number = '';
  const record = uuidv7();
  const wrong: string[] = [];

  async function window(wide: boolean): Promise<Page> {
    const context = await browser.newContext({ viewport: wide ? { width: 1280, height: 900 } : { width: 390, height: 844 }, locale: 'en-GB', bypassCSP: true });
    const page = await context.newPage();
    page.setDefaultTimeout(90_000);
    page.on('pageerror', (e) => wrong.push(e.message));
    return page;
  }
  /** looked lets axe look at the page at 390 and 1280 pixels, by day and by night, and takes a picture where LOOKS names a folder. */
  async function looked(page: Page, name: string): Promise<void> {
    const was = page.viewportSize()!;
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
    await page.setViewportSize(was);
  }
  const ask = <T>(page: Page, method: string, path: string, body?: unknown): Promise<T> =>
    page.evaluate(
      async ({ method, path, body }) => {
        const r = await fetch(`/api${path}`, { method, headers: { 'Content-Type': 'application/json' }, body: body === undefined ? undefined : JSON.stringify(body) });
        if (!r.ok) throw new Error(`${path}: ${r.status} ${await r.text()}`);
        return r.json();
      },
      { method, path, body },
    ) as Promise<T>;
  const status = (page: Page, path: string): Promise<number> => page.evaluate((path) => fetch(`/api${path}`).then((r) => r.status), path);
  const handIn = (page: Page, name: string): Promise<string> =>
    page.evaluate(
      async ({ name, bytes }) => {
        const r = await fetch(`/api/photographs?name=${name}`, { method: 'POST', headers: { 'Content-Type': 'application/octet-stream' }, body: Uint8Array.from(atob(bytes), (c) => c.charCodeAt(0)) });
        return ((await r.json()) as { id: string }).id;
      },
      { name, bytes: file(name) },
    );
  /** comesIn has somebody take the field code on a phone of their own. */
  async function comesIn(code: string, name: string): Promise<Page> {
    const page = await window(false);
    await page.goto(`${address}/join#${code}`);
    await page.getByLabel('What may we call you?').fill(name);
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    return page;
  }
  /** sees lists the names of the pictures on the page of the record. */
  async function sheetOf(page: Page): Promise<void> {
    await page.goto(`${address}/record/${record}`);
    await page.getByText(number).first().waitFor();
  }

  beforeAll(async () => {
    program = await serve('serve', data.path, { today: '2026-10-10' });
    address = program.address.replace('127.0.0.1', 'localhost');
    browser = await openBrowser();
    coordinator = await window(true);
    await coordinator.goto([...program.links.values()][0]!.replace('127.0.0.1', 'localhost'));
    const made = await ask<{ link: string }>(coordinator, 'POST', '/seasons', {
      code: 'S26', title: 'Fungi of Sallow Down', place: 'Sallow Down', starts: '2026-09-19', ends: '2026-11-08', zone: 'Etc/GMT+1', licence: 'CC-BY-4.0', coordinator: 'Ottoline Marchbank',
      box: { west: -20.1, east: -19.8, north: 48.6, south: 48.45 },
    });
    await coordinator.goto(address + made.link);
    await coordinator.reload();
    await coordinator.getByLabel('Password', { exact: true }).fill('mossy heron by lamplight');
    await coordinator.getByRole('button', { name: 'Use this password' }).click();
    await coordinator.getByRole('heading', { name: 'You are in', exact: true }).waitFor();
    const settings = await ask<object>(coordinator, 'GET', '/settings');
    await ask(coordinator, 'PUT', '/settings', { ...settings, emergency: '555 0100' });
    await ask(coordinator, 'PUT', '/sites/01999999-0000-7000-8000-000000000001', {
      id: '', code: 'S1', name: 'Sallow Copse', lat: 48.521, lon: -19.954, radius: 300, habitat: [], outline: [], hazards: [], forays: 0, records: 0, notes: [], permission: { words: 'yes' },
    });
    await ask(coordinator, 'POST', '/settings/open', {});
    const { code } = await ask<{ code: string }>(coordinator, 'PUT', '/field-code', { code: '', lets: false, last: '2026-11-08', renew: true });
    recorder = await comesIn(code, 'Wren');
    reader = await comesIn(code, 'Rowan');
    const views = [];
    for (const [kind, name] of [['top', 'IMG_2041.jpg'], ['side', 'IMG_2042.jpg'], ['surroundings', 'IMG_2044.jpg']]) views.push({ photograph: await handIn(recorder, name!), kind });
    ({ number } = await ask<{ number: string }>(recorder, 'PUT', `/records/${record}`, { found: { date: '2026-10-09' }, fieldName: 'Mycena', views }));
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
    data.remove();
    expect(wrong).toEqual([]);
  });

  test('a reader marks a view by keys: it is gone for them at once, and a sentence stands there', async () => {
    await sheetOf(reader);
    await reader.getByRole('button', { name: `Surroundings of ${number}: open large` }).press('Enter');
    const dialog = reader.getByRole('dialog', { name: `Surroundings of ${number}, large` });
    await dialog.getByRole('button', { name: 'More' }).press('Enter'); // on a phone it lies behind
    await dialog.getByRole('button', { name: 'A person can be seen' }).press('Enter');
    await dialog.getByRole('heading', { name: 'Can a person be seen on this view: Surroundings?' }).waitFor();
    await looked(reader, 'mark-asks');
    // Who changes their mind is where they were, and nothing is done.
    await dialog.getByRole('button', { name: 'No, nobody is on it' }).press('Enter');
    expect(await dialog.getByRole('button', { name: 'A person can be seen' }).evaluate((e) => e === document.activeElement)).toBe(true);
    await reader.keyboard.press('Enter');
    await dialog.getByRole('button', { name: 'Yes, withhold it' }).press('Enter');
    await reader.getByText('Surroundings is withheld until the coordinator has looked at it.').waitFor();
    await reader.getByText('Withheld: a reader said that a person can be seen on it.').waitFor();
    expect(await reader.getByRole('img', { name: /^Surroundings/ }).count()).toBe(0);
    expect(await reader.getByRole('button', { name: /^Surroundings .* large/ }).count()).toBe(0);
    await looked(reader, 'sheet-withheld');
  });

  test('its recorder is told that it waits, and not who marked it', async () => {
    await sheetOf(recorder);
    await recorder.getByText('Others see it again when the coordinator has looked. You may crop it').first().waitFor();
    expect(await recorder.getByText('Rowan').count()).toBe(0);
    await looked(recorder, 'sheet-waits');
  });

  test('the recorder crops it by keys, hears the numbers, and sees what is left before it is done', async () => {
    await recorder.getByRole('button', { name: `Surroundings of ${number}: open large` }).press('Enter');
    await recorder.getByRole('dialog').getByRole('button', { name: 'More' }).press('Enter');
    await recorder.getByRole('button', { name: 'Crop', exact: true }).press('Enter');
    const left = recorder.getByRole('slider', { name: 'Left edge' });
    await left.waitFor();
    await recorder.getByRole('button', { name: 'Look at what is left' }).press('Enter');
    await recorder.getByText('This is the whole picture').waitFor();
    const full = Number(await recorder.getByRole('slider', { name: 'Right edge' }).getAttribute('aria-valuemax'));
    for (let n = 0; n < 3; n++) await left.press('PageDown');
    await left.press('ArrowRight');
    await left.press('Shift+ArrowRight');
    await left.press('ArrowDown');
    const step = Math.round(full / 100);
    expect(Number(await left.getAttribute('aria-valuenow'))).toBe(31 * step + 1);
    expect(await left.getAttribute('aria-valuetext')).toContain(`${31 * step + 1} pixels cut away; ${full - 31 * step - 1} by`);
    await recorder.getByRole('slider', { name: 'Lower edge' }).press('PageUp');
    await looked(recorder, 'crop');
    await recorder.getByRole('button', { name: 'Look at what is left' }).press('Enter');
    await recorder.getByRole('heading', { name: /^What is left/ }).waitFor();
    await recorder.getByText('The whole photograph stays in the season’s data folder').waitFor();
    await looked(recorder, 'crop-left');
    await recorder.getByRole('button', { name: 'Keep this part alone' }).press('Enter');
    await recorder.getByText('Surroundings is cropped').waitFor();
    await recorder.getByText('its recorder cropped it since').first().waitFor();
    const sheet = await ask<{ views: { kind: string; photograph: string; fullWidth: number }[] }>(recorder, 'GET', `/records/${record}`);
    const view = sheet.views.find((v) => v.kind === 'surroundings')!;
    expect(view.fullWidth).toBe(full - 31 * step - 1);
    expect(await status(recorder, `/photographs/${view.photograph}/original`)).toBe(404);
    expect(await status(reader, `/photographs/${view.photograph}/screen`)).toBe(404);
  });

  test('the desk tells the coordinator, who crops by dragging, and clears for a set reason', async () => {
    await coordinator.goto(`${address}/desk`);
    await coordinator.getByRole('link', { name: '1 view' }).click();
    await coordinator.getByRole('heading', { name: `Surroundings of ${number}` }).waitFor();
    await coordinator.getByText('Its recorder cropped it since.').waitFor();
    await coordinator.getByRole('button', { name: 'Nobody can be seen' }).click();
    await coordinator.getByRole('button', { name: 'Show it again' }).click();
    await coordinator.getByText('Say why it may be shown as it is.').waitFor();
    await looked(coordinator, 'marks-waiting');
    await coordinator.getByLabel('Only a shadow or a reflection').check();
    await coordinator.getByRole('button', { name: 'Show it again' }).click();
    await coordinator.getByText(`Surroundings of ${number} is shown again.`).waitFor();
    await coordinator.getByLabel(/^Cleared/).check();
    await coordinator.getByText('Only a shadow or a reflection: nobody can be told by it.').waitFor();
    // Another one, cropped with the pointer.
    const sheet = await ask<{ views: { kind: string; id: string; fullWidth: number; fullHeight: number }[] }>(reader, 'GET', `/records/${record}`);
    const side = sheet.views.find((v) => v.kind === 'side')!;
    await ask(reader, 'POST', `/records/${record}/views/${side.id}/mark`, { id: uuidv7() });
    await coordinator.goto(`${address}/desk/marks`);
    await coordinator.getByRole('button', { name: 'Crop', exact: true }).click();
    const right = coordinator.getByRole('slider', { name: 'Right edge' });
    await right.waitFor();
    const grip = (await right.boundingBox())!;
    const x = grip.x + grip.width / 2;
    const y = grip.y + grip.height / 2;
    await coordinator.mouse.move(x, y);
    await coordinator.mouse.down();
    await coordinator.mouse.move(x - 100, y, { steps: 4 });
    await coordinator.mouse.up();
    const stays = Number(await right.getAttribute('aria-valuenow'));
    expect(stays).toBeLessThan(side.fullWidth);
    expect(stays).toBeGreaterThan(side.fullWidth / 2);
    await looked(coordinator, 'crop-by-pointer');
    await coordinator.getByRole('button', { name: 'Look at what is left' }).click();
    await coordinator.getByRole('button', { name: 'Keep this part alone' }).click();
    await coordinator.getByText(`Side of ${number} is cropped and shown again.`).waitFor();
    await coordinator.getByLabel(/^All/).check();
    await coordinator.getByText(/Cropped by Ottoline Marchbank/).waitFor();
    await looked(coordinator, 'marks-all');
    await sheetOf(reader);
    await reader.getByRole('button', { name: `Side of ${number}: open large` }).waitFor();
    expect(await reader.getByText('Withheld:').count()).toBe(0);
  });

  test('the audit tells what was done, narrows it, and leads to it', async () => {
    await coordinator.goto(`${address}/desk`);
    await coordinator.getByRole('link', { name: 'Audit' }).click();
    await coordinator.getByText('Nobody has been given a protected or private place.').waitFor();
    await coordinator.getByRole('button', { name: 'Changes' }).press('Enter');
    await coordinator.getByText('settled a mark that a person can be seen: cleared. Only a shadow').waitFor();
    await looked(coordinator, 'audit-changes');
    await coordinator.getByLabel('What kind').selectOption({ label: 'Sites' });
    await coordinator.getByText('settled a mark').first().waitFor({ state: 'detached' });
    await coordinator.getByText('added a site').first().waitFor();
    // Looking at the private site is an act of its own.
    await coordinator.getByRole('link', { name: 'S1 Sallow Copse' }).click();
    await coordinator.getByRole('heading', { name: 'Sallow Copse' }).waitFor();
    await coordinator.goto(`${address}/desk/audit`);
    await coordinator.getByText('saw private ground by the page of the site').waitFor();
    await coordinator.getByLabel('About').fill('S9');
    await coordinator.getByRole('button', { name: 'Show these' }).press('Enter');
    await coordinator.getByText('nothing of the season has the number or mark').waitFor();
    await looked(coordinator, 'audit-fault');
    await coordinator.goto(`${address}/desk/audit?what=entries`);
    await coordinator.getByText(/^came in by field code .*still in/).first().waitFor();
    await looked(coordinator, 'audit-entries');
    const [file] = await Promise.all([coordinator.waitForEvent('download'), coordinator.getByRole('link', { name: 'As a table (CSV)' }).click()]);
    expect(readFileSync((await file.path())!, 'utf8')).toMatch(/^number,at,person,by,what,about,thing\n/);
  });

  test('a sign-in that is over stands under one’s name', async () => {
    const phrase = await ask<{ phrase: string }>(reader, 'POST', '/me/phrase', {});
    await reader.goto(`${address}/me`);
    await reader.getByRole('button', { name: 'Leave', exact: true }).click();
    await reader.goto(`${address}/join`);
    await reader.getByRole('button', { name: 'I was in before, on another phone' }).click();
    await reader.getByLabel('Recovery phrase').fill(phrase.phrase);
    await reader.getByRole('button', { name: 'Come back' }).click();
    await reader.getByRole('heading', { name: 'Daybook' }).waitFor();
    await reader.goto(`${address}/me`);
    await reader.getByText('Earlier sign-ins (1)').click();
    await reader.getByText(/left on the device itself/).waitFor();
    await looked(reader, 'me-earlier');
  });

  test('nothing was complained about', () => {
    expect(complaints(program.said())).toEqual([]);
  });
});
