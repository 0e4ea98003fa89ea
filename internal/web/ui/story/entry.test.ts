/** Coming in: an invitation with a passkey of Chromium's virtual authenticator, with a password, recovery codes, the field code and the phrase. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { looked } from './looked';
import { openBrowser } from './person';
import { freshFolder, run, serve, type Serving } from './program';

const heron = 'mossy heron by lamplight';

describe('coming in', () => {
  const data = freshFolder('entry');
  let program: Serving;
  let address = '';
  let browser: Browser;
  let coordinator: Page, phone: Page;
  let code = '';
  let phrase = '';
  const wrong: string[] = [];

  /** window opens a browser of somebody's own. Localhost is a secure context; 127.0.0.1 can hold no passkeys. */
  async function window(wide: boolean): Promise<{ page: Page; context: BrowserContext }> {
    const context = await browser.newContext({ viewport: wide ? { width: 1280, height: 900 } : { width: 390, height: 844 }, locale: 'en-GB' });
    const page = await context.newPage();
    page.setDefaultTimeout(90_000);
    page.on('pageerror', (e) => wrong.push(e.message));
    return { page, context };
  }
  /** ask sends something from the page itself, as its own scripts do. */
  const ask = <T>(page: Page, method: string, path: string, body?: unknown): Promise<T> =>
    page.evaluate(
      async ({ method, path, body }) => {
        const r = await fetch(`/api${path}`, { method, headers: { 'Content-Type': 'application/json' }, body: body === undefined ? undefined : JSON.stringify(body) });
        if (!r.ok) throw new Error(`${path}: ${r.status} ${await r.text()}`);
        return r.json();
      },
      { method, path, body },
    ) as Promise<T>;

  beforeAll(async () => {
    program = await serve('serve', data.path, { today: '2026-10-10' });
    address = program.address.replace('127.0.0.1', 'localhost');
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
    data.remove();
    expect(wrong).toEqual([]);
  });

  test('the first coordinator makes a passkey, leaves, and signs in by it', async () => {
    const { page, context } = await window(true);
    coordinator = page;
    const cdp = await context.newCDPSession(page);
    await cdp.send('WebAuthn.enable');
    await cdp.send('WebAuthn.addVirtualAuthenticator', { options: { protocol: 'ctap2', transport: 'internal', hasResidentKey: true, hasUserVerification: true, isUserVerified: true, automaticPresenceSimulation: true } });
    await page.goto([...program.links.values()][0]!.replace('127.0.0.1', 'localhost'));
    await page.getByRole('heading', { name: 'Set up a season' }).waitFor();
    const made = await ask<{ link: string }>(page, 'POST', '/seasons', {
      code: 'S26', title: 'Fungi of Sallow Down', place: 'Sallow Down', starts: '2026-09-19', ends: '2026-11-08', zone: 'Etc/GMT+1', licence: 'CC-BY-4.0', coordinator: 'Ottoline Marchbank',
      box: { west: -20.1, east: -19.8, north: 48.6, south: 48.45 },
    });
    await page.goto(address + made.link);
    await page.reload();
    await page.getByRole('heading', { name: 'Come in, Ottoline Marchbank' }).waitFor();
    await looked(page, 'invited');
    await page.getByRole('button', { name: 'Make a passkey' }).click();
    await page.getByRole('heading', { name: 'You are in', exact: true }).waitFor();
    expect(await page.getByRole('group', { name: 'Recovery codes' }).getByRole('listitem').count()).toBe(8);
    await looked(page, 'codes');
    await page.getByRole('link', { name: 'I have them: go on' }).click();
    await page.getByRole('button', { name: /^Leave/ }).click();
    await page.getByRole('link', { name: 'Sign in' }).first().click();
    await page.getByRole('heading', { name: 'Sign in', exact: true }).waitFor();
    await looked(page, 'sign-in');
    await page.getByRole('button', { name: 'Sign in with a passkey' }).click();
    await page.getByRole('button', { name: /^Leave: you came in as Ottoline Marchbank/ }).waitFor();
    // The same invitation once more.
    const again = (await window(false)).page;
    await again.goto(address + made.link);
    await again.getByText('This invitation was used on 10 October 2026').waitFor();
    await looked(again, 'used-invitation');
    await again.close();
  });

  test('the season desk: a field code, an invitation handed over once and taken back', async () => {
    await coordinator.goto(`${address}/desk/coming-in`);
    await coordinator.getByRole('button', { name: 'Make the field code' }).click();
    const shown = coordinator.getByLabel(/^Field code (\w )/);
    await shown.waitFor();
    code = (await shown.textContent())!.trim();
    expect(code).toMatch(/^[0-9A-Z]{4}-[0-9A-Z]{4}$/);
    await coordinator.getByLabel('leader').check();
    await coordinator.getByLabel('For whom').fill('Birk, who knows the dunes');
    await coordinator.getByRole('button', { name: 'Make the invitation' }).click();
    await coordinator.getByText('Invitation for Birk, who knows the dunes').first().waitFor();
    await looked(coordinator, 'coming-in');
    await coordinator.getByRole('button', { name: 'Done' }).click();
    await coordinator.getByRole('button', { name: /^Take back/ }).click();
    await coordinator.getByText('taken back', { exact: true }).waitFor();
  });

  test('a recorder takes the field code once the season is open, and comes back by phrase on another phone', async () => {
    phone = (await window(false)).page;
    await phone.goto(`${address}/join#${code}`);
    await phone.getByLabel('What may we call you?').fill('Wren');
    await phone.getByRole('button', { name: 'Come in' }).click();
    await phone.getByText('is not open to recorders yet').waitFor();
    await looked(phone, 'join');
    const settings = await ask<object>(coordinator, 'GET', '/settings');
    await ask(coordinator, 'PUT', '/settings', { ...settings, emergency: '555 0100' });
    await ask(coordinator, 'PUT', '/sites/01999999-0000-7000-8000-000000000001', {
      id: '', code: 'S1', name: 'Sallow Copse', lat: 48.521, lon: -19.954, radius: 300, habitat: [], outline: [], hazards: [], forays: 0, records: 0, notes: [], permission: { words: 'yes' },
    });
    await ask(coordinator, 'POST', '/settings/open', {});
    await phone.getByRole('button', { name: 'Come in' }).click();
    await phone.getByRole('heading', { name: 'Daybook' }).waitFor();
    // Whoever has no way back is told so before they leave.
    await phone.getByRole('button', { name: /^Leave/ }).click();
    await phone.getByText('You have no way back yet.').waitFor();
    await looked(phone, 'me-recorder');
    await phone.getByRole('button', { name: 'Make a recovery phrase' }).click();
    const slip = phone.getByRole('group', { name: 'Recovery phrase of Wren' });
    await slip.waitFor();
    phrase = (await slip.getByRole('listitem').allTextContents()).map((w) => w.replace(/^\d/, '')).join(' ');
    await looked(phone, 'phrase');
    const other = (await window(false)).page;
    await other.goto(`${address}/join`);
    await other.getByRole('button', { name: 'I was in before, on another phone' }).click();
    await other.getByLabel('Recovery phrase').fill(phrase.toUpperCase());
    await other.getByRole('button', { name: 'Come back' }).click();
    await other.getByRole('heading', { name: 'Daybook' }).waitFor();
    await other.close();
  });

  test('wrong codes are answered in a sentence, and the coordinator sees them', async () => {
    const page = (await window(false)).page;
    await page.goto(`${address}/join`);
    await page.getByLabel('Field code').fill(code.replace(/^./, (c) => (c === '3' ? '4' : '3')));
    await page.getByLabel('What may we call you?').fill('Wren');
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.getByText('slip of the pen').waitFor();
    await page.goto(`${address}/sign-in`);
    await page.getByLabel('Name').fill('Ottoline Marchbank');
    await page.getByLabel('Password', { exact: true }).fill('not hers at all');
    await page.getByRole('button', { name: 'Sign in', exact: true }).click();
    await page.getByText('do not belong together').waitFor();
    await page.close();
    await coordinator.goto(`${address}/desk/coming-in`);
    await coordinator.getByRole('table', { name: 'What was tried in vain' }).getByText('password').first().waitFor();
    await looked(coordinator, 'tried-in-vain');
  });

  test('locked out: the command line invites, a password does it, a recovery code replaces it', async () => {
    const { link } = JSON.parse(run('invite', '--data', data.path, '--public-address', address, '--json')) as { link: string };
    const { page } = await window(true);
    await page.goto(link);
    await page.getByLabel('What may people call you?').fill('Isolde Farrow');
    await page.getByLabel('Password', { exact: true }).fill('sallow down');
    await page.getByRole('button', { name: 'Use this password' }).click();
    await page.getByText('made of words of the season').waitFor();
    await page.getByLabel('Password', { exact: true }).fill(heron);
    await page.getByRole('button', { name: 'Use this password' }).click();
    await page.getByRole('heading', { name: 'You are in', exact: true }).waitFor();
    const codes = await page.getByRole('group', { name: 'Recovery codes' }).getByRole('listitem').allTextContents();
    await page.goto(`${address}/me`);
    await page.getByText('You have 8 left.').waitFor();
    await looked(page, 'me-coordinator');
    await page.goto(`${address}/sign-in`);
    await page.getByRole('button', { name: 'I have lost my password or passkey' }).click();
    await page.getByLabel('Recovery code').fill(codes[2]!.toLowerCase());
    await page.getByRole('button', { name: 'Come in by this code' }).click();
    await page.getByText('You have 7 left.').waitFor();
    await page.close();
  });
});
