/** Rights of people: somebody reads what is kept about them, takes it along, takes back, asks to be taken out; the coordinator does it. */
import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { looked, tabTo } from './looked';
import { openBrowser } from './person';
import { freshFolder, serve, type Serving } from './program';

describe('the rights of people', () => {
  const data = freshFolder('rights');
  let program: Serving;
  let browser: Browser;
  let coordinator: Page, phone: Page;
  const wrong: string[] = [];
  const name = 'Quillwort Fernside';

  async function window(width: number): Promise<Page> {
    const context = await browser.newContext({ viewport: { width, height: 860 }, locale: 'en-GB', acceptDownloads: true });
    const page = await context.newPage();
    page.setDefaultTimeout(90_000);
    page.on('pageerror', (e) => wrong.push(e.message));
    return page;
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
  const id = (n: number) => `01a12a00-0000-7000-8000-00000000000${n}`;

  beforeAll(async () => {
    program = await serve('serve', data.path, { today: '2026-10-10', more: ['--backups-kept', '30'] });
    browser = await openBrowser();
    coordinator = await window(1280);
    await coordinator.goto([...program.links.values()][0]!);
    await coordinator.getByRole('heading', { name: 'Set up a season' }).waitFor();
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
    await ask(coordinator, 'PUT', '/settings', { ...settings, emergency: '555 0100' });
    await ask(coordinator, 'PUT', '/sites/01999999-0000-7000-8000-000000000001', {
      id: '', code: 'S1', name: 'Sallow Copse', lat: 48.521, lon: -19.954, radius: 300, habitat: [], outline: [], hazards: [], forays: 0, records: 0, notes: [], permission: { words: 'yes' },
    });
    const { code } = await ask<{ code: string }>(coordinator, 'PUT', '/field-code', { code: '', last: '2026-12-31', lets: false });
    await ask(coordinator, 'POST', '/settings/open', {});
    phone = await window(390);
    await phone.goto(`${program.address}/join#${code}`);
    await phone.getByLabel('What may we call you?').fill(name);
    await phone.getByRole('button', { name: 'Come in' }).click();
    await phone.getByRole('heading', { name: 'Daybook' }).waitFor();
    for (const n of [1, 2]) {
      await ask(phone, 'PUT', `/records/${id(n)}`, { found: { date: '2026-10-09' }, fieldName: n === 1 ? 'Laccaria amethystina' : 'Mycena pura', remarks: 'under the birches', views: [] });
    }
    // The coordinator wrote the name into a record of her own, and notes a consent.
    await ask(coordinator, 'PUT', `/records/${id(3)}`, { found: { date: '2026-10-09' }, fieldName: 'Mycena', remarks: `shown to me by ${name}, by the gate`, views: [] });
    const { me } = await ask<{ me: { id: string } }>(phone, 'GET', '/season');
    const person = await ask<object>(coordinator, 'GET', `/people/${me.id}`);
    await ask(coordinator, 'PUT', `/people/${me.id}`, { ...person, consents: [{ about: 'pictures', given: '2026-10-08', how: 'on paper' }] });
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
    data.remove();
    expect(wrong).toEqual([]);
  });

  test('a recorder reads what is kept and takes a copy of it', async () => {
    await phone.goto(`${program.address}/me`);
    await phone.getByRole('link', { name: 'What is kept about you' }).click();
    await phone.getByRole('heading', { name: 'What is kept about you', level: 1 }).waitFor();
    for (const part of ['Who', 'Devices and ways in', 'Records', 'Photographs', 'Sign-ups', 'Opinions', 'Looks and marks']) {
      await phone.getByRole('heading', { name: part, exact: true }).waitFor();
    }
    await phone.getByText('Whoever runs the server keeps backups for 30 days').first().waitFor();
    await looked(phone, 'kept');
    const [copy] = await Promise.all([phone.waitForEvent('download'), phone.getByRole('link', { name: /^Take a copy/ }).click()]);
    const zip = readFileSync((await copy.path())!);
    expect(copy.suggestedFilename()).toBe('kept-about-me-S26.zip');
    expect(zip.subarray(0, 2).toString()).toBe('PK');
    expect(zip.includes('kept.json') && zip.includes('records.csv')).toBe(true);
  });

  test('they take back what they agreed to, and a record', async () => {
    await phone.getByRole('button', { name: /^Take it back\s*: photographs may be published/ }).click();
    await phone.getByText('From the next deposit on the photographs stay inside.').waitFor();
    await phone.getByText('You have agreed to nothing that could be taken back.').waitFor();
    await phone.goto(`${program.address}/record/${id(1)}`);
    await phone.getByRole('link', { name: 'Take it out' }).click();
    await phone.getByRole('button', { name: /^Take S26-\d+ out$/ }).click();
    await phone.getByText('Nobody is shown it any more.').waitFor();
    await phone.getByRole('heading', { name: 'Taken out', exact: true }).waitFor();
    await looked(phone, 'kept-record-out');
    await phone.getByRole('button', { name: /^Put back/ }).click();
    await phone.getByText('is in the season again.').waitFor();
  });

  test('they ask for their name to be taken out, by the keyboard alone, and change their mind', async () => {
    await phone.goto(`${program.address}/me/kept`);
    await phone.getByRole('heading', { name: 'Have your name taken out' }).waitFor();
    await phone.locator('h1').focus();
    await tabTo(phone, /^My name, and all that tells who I am/);
    await phone.keyboard.press('ArrowDown');
    await tabTo(phone, 'Ask for my name to be taken out');
    await phone.keyboard.press('Enter');
    await phone.getByText('The coordinator has it on their desk.').waitFor();
    await phone.getByText(/for the originals of the photographs to be deleted too/).waitFor();
    await looked(phone, 'kept-asked');
    await phone.getByRole('button', { name: 'I have changed my mind' }).click();
    await phone.getByText('Taken back. Nothing was changed.').waitFor();
    await phone.getByRole('button', { name: 'Ask for my name to be taken out' }).click();
    await phone.getByText('The coordinator has it on their desk.').waitFor();
  });

  test('the coordinator sees it at the desk, and answers by a set sentence', async () => {
    await coordinator.goto(`${program.address}/desk`);
    await coordinator.getByRole('link', { name: '1 person asks' }).click();
    await coordinator.getByRole('heading', { name: name }).waitFor();
    await coordinator.getByRole('button', { name: /^Not now/ }).click();
    await looked(coordinator, 'desk-requests');
    await coordinator.getByLabel(/could not tell whether you asked yourself/).check();
    await coordinator.getByRole('button', { name: 'Answer so' }).click();
    await coordinator.getByText('Nobody waits.').waitFor();
    await phone.reload();
    await phone.getByText(/could not tell whether you asked yourself/).waitFor();
    await looked(phone, 'kept-declined');
    await phone.getByRole('button', { name: 'Ask for my name to be taken out' }).click();
    await phone.getByText('The coordinator has it on their desk.').waitFor();
  });

  test('the coordinator takes the name out, also where others wrote it', async () => {
    await coordinator.goto(`${program.address}/desk/requests`);
    await looked(coordinator, 'desk-requests-open');
    await coordinator.getByRole('link', { name: /^Take the name out/ }).click();
    await coordinator.getByRole('heading', { name: `What is kept about ${name}` }).waitFor();
    await coordinator.getByRole('button', { name: 'Prepare to take the name out' }).click();
    await coordinator.getByLabel(/shown to me by Quillwort Fernside/).waitFor();
    await coordinator.getByText(/It can’t be undone/).waitFor();
    await coordinator.getByText(/is in them until [89] November 2026/).waitFor();
    await looked(coordinator, 'desk-take-out');
    await coordinator.getByLabel(/^Type the name/).fill('Somebody Else');
    await coordinator.getByRole('button', { name: 'Take the name out for good' }).click();
    await coordinator.getByText(/type the name as it stands here/).waitFor();
    await coordinator.getByLabel(/^Type the name/).fill(name);
    await coordinator.getByRole('button', { name: 'Take the name out for good' }).click();
    await coordinator.getByText('The name is taken out.').waitFor();
    await looked(coordinator, 'desk-taken-out');
    for (const n of [2, 3]) expect(JSON.stringify(await ask(coordinator, 'GET', `/records/${id(n)}`))).not.toContain('Quillwort');
    await coordinator.goto(`${program.address}/desk`);
    await coordinator.getByText('Nobody waits for their name to be taken out.').waitFor();
    await phone.goto(`${program.address}/me/kept`);
    await phone.getByText('You have not come in on this device.').waitFor();
  });
});
