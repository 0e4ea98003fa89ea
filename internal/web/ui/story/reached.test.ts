/** How the server is reached: plain HTTP under a name says what won't work; a hall's own HTTPS doesn't, and its cookies are closed. */
import { spawn, type ChildProcess } from 'node:child_process';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { looked } from './looked';
import { openBrowser } from './person';
import { freePort, freshFolder, serve, trug, type Serving } from './program';

const warning = 'This page came over plain HTTP';

describe('how the server is reached', () => {
  const data = freshFolder('plain');
  const hallData = freshFolder('hall');
  let plain: Serving;
  let hall: ChildProcess;
  let said = '';
  let secure = '';
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    plain = await serve('serve', data.path, { today: '2026-10-10' });
    const [https, http] = [await freePort(), await freePort()];
    hall = spawn(trug, ['serve', '--data', hallData.path, '--own-authority', '--listen', `127.0.0.1:${https}`, '--listen-plain', `127.0.0.1:${http}`, '--today', '2026-10-10'], { stdio: ['ignore', 'pipe', 'pipe'] });
    process.once('exit', () => hall.kill('SIGKILL'));
    for (const out of [hall.stdout, hall.stderr]) out?.on('data', (bytes: Buffer) => (said += bytes.toString()));
    const began = Date.now();
    while (!/https:\/\/\S+\/enter\/\S+\n/.test(said)) {
      if (hall.exitCode !== null || Date.now() - began > 60_000) throw new Error(`the hall does not serve:\n${said}`);
      await new Promise((done) => setTimeout(done, 50));
    }
    secure = /https:\/\/\S+\/enter\/\S+/.exec(said)![0];
    // Every name leads to this machine, as a hall's own router would have it.
    browser = await openBrowser('--host-resolver-rules=MAP * 127.0.0.1');
    const context = await browser.newContext({ viewport: { width: 390, height: 844 }, locale: 'en-GB', ignoreHTTPSErrors: true });
    page = await context.newPage();
    page.setDefaultTimeout(90_000);
  });
  afterAll(async () => {
    await browser?.close();
    await plain?.stop();
    const ended = new Promise((done) => hall.once('exit', done));
    hall?.kill('SIGINT');
    await ended;
    data.remove();
    hallData.remove();
  });

  test('plain HTTP under a name says what won’t work', async () => {
    const address = plain.address.replace('127.0.0.1', 'fungi.example');
    await page.goto(`${address}/`);
    const band = page.getByRole('complementary', { name: 'Connection' });
    await band.getByText(warning).click();
    expect(await band.getByRole('listitem').count()).toBe(5);
    await band.getByText('Coming in by passkey.').waitFor();
    expect(await page.evaluate('isSecureContext')).toBe(false);
    await looked(page, 'plain-http');
    // This machine itself is safe to the browser, and is not warned of.
    await page.goto(`${plain.address}/`);
    await page.getByRole('main').waitFor();
    expect(await page.getByText(warning).count()).toBe(0);
  });

  test('a hall’s own HTTPS is explained over plain HTTP, and warns of nothing', async () => {
    const explained = new URL(/http:\/\/[a-z][^\s/]*\//.exec(said)![0]).href;
    await page.goto(explained);
    const shown = /(?:[0-9A-F]{2}:){31}[0-9A-F]{2}/.exec(said)![0];
    await page.getByText(shown).waitFor();
    await looked(page, 'hall-trust');
    await page.goto(secure);
    await page.getByRole('heading', { name: 'Set up a season' }).waitFor();
    expect(await page.evaluate('isSecureContext')).toBe(true);
    expect(await page.getByText(warning).count()).toBe(0);
  });

  test('over HTTPS cookies are for this host, closed to scripts and to other sites', async () => {
    const cookies = await page.context().cookies(secure);
    expect(cookies.length).toBeGreaterThan(0);
    for (const c of cookies) {
      expect(c.name, 'its name').toMatch(/^__Host-/);
      expect({ secure: c.secure, httpOnly: c.httpOnly, sameSite: c.sameSite, path: c.path }, c.name).toEqual({ secure: true, httpOnly: true, sameSite: 'Lax', path: '/' });
    }
    expect(await page.evaluate('document.cookie')).toBe('');
  });
});
