/**
 * As a phone meets the server in earnest: over HTTPS under a name of its own. The app can be installed, starts with no
 * network after one visit, and the checker finds nothing.
 */
import { spawn, type ChildProcess } from 'node:child_process';
import { createHash, X509Certificate } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connect } from 'node:tls';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { looked } from './looked';
import { phone } from './person';
import { freePort, freshFolder, trug } from './program';

/** keyOf is how Chromium names the key of a certificate that it is to trust: a device that has installed the hall's authority. */
const keyOf = (port: number, name: string): Promise<string> =>
  new Promise((done, failed) => {
    const socket = connect({ port, host: '127.0.0.1', servername: name, rejectUnauthorized: false }, () => {
      const key = new X509Certificate(socket.getPeerCertificate().raw).publicKey.export({ type: 'spki', format: 'der' });
      socket.destroy();
      done(createHash('sha256').update(key).digest('base64'));
    });
    socket.on('error', failed);
  });

describe('over HTTPS under a name', () => {
  const data = freshFolder('installed');
  const profile = mkdtempSync(join(tmpdir(), 'trug-installed-'));
  let hall: ChildProcess;
  let said = '';
  let address = '';
  let key = '';
  let context: BrowserContext;
  let page: Page;

  async function openPhone(): Promise<void> {
    context = await chromium.launchPersistentContext(profile, {
      executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', viewport: phone, locale: 'en-GB',
      args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--force-color-profile=srgb', '--host-resolver-rules=MAP * 127.0.0.1', `--ignore-certificate-errors-spki-list=${key}`],
    });
    page = context.pages()[0] ?? (await context.newPage());
    page.setDefaultTimeout(90_000);
  }
  const ask = <T>(method: string, path: string, body?: unknown): Promise<T> =>
    page.evaluate(
      async ({ method, path, body }) => {
        const r = await fetch(`/api${path}`, { method, headers: { 'Content-Type': 'application/json' }, body: body === undefined ? undefined : JSON.stringify(body) });
        if (!r.ok) throw new Error(`${path}: ${r.status} ${await r.text()}`);
        return r.json();
      },
      { method, path, body },
    ) as Promise<T>;

  beforeAll(async () => {
    const port = await freePort();
    hall = spawn(trug, ['serve', '--data', data.path, '--own-authority', '--listen', `127.0.0.1:${port}`, '--listen-plain', '-', '--today', '2026-10-10'], { stdio: ['ignore', 'pipe', 'pipe'] });
    process.once('exit', () => hall.kill('SIGKILL'));
    for (const out of [hall.stdout, hall.stderr]) out?.on('data', (bytes: Buffer) => (said += bytes.toString()));
    const began = Date.now();
    while (!/https:\/\/\S+\/enter\/\S+\n/.test(said)) {
      if (hall.exitCode !== null || Date.now() - began > 60_000) throw new Error(`the hall does not serve:\n${said}`);
      await new Promise((done) => setTimeout(done, 50));
    }
    const link = new URL(/https:\/\/\S+\/enter\/\S+/.exec(said)![0]);
    address = link.origin;
    expect(link.hostname).not.toMatch(/^(localhost|127\.)/);
    key = await keyOf(port, link.hostname);
    await openPhone();
    await page.goto(link.href);
    await page.getByRole('heading', { name: 'Set up a season' }).waitFor();
    const made = await ask<{ link: string }>('POST', '/seasons', {
      code: 'H26', title: 'Fungi of Sallow Down', place: 'Sallow Down', starts: '2026-09-19', ends: '2026-11-08', zone: 'Etc/GMT+1', licence: 'CC-BY-4.0', coordinator: 'Ottoline Marchbank',
      box: { west: -20.1, east: -19.8, north: 48.6, south: 48.45 },
    });
    await page.goto(address + made.link);
    await page.getByLabel('Password', { exact: true }).fill('mossy heron by lamplight');
    await page.getByRole('button', { name: 'Use this password' }).click();
    await page.getByRole('heading', { name: 'You are in', exact: true }).waitFor();
    await page.goto(`${address}/daybook`);
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
  });
  afterAll(async () => {
    await context?.close();
    const ended = new Promise((done) => hall.once('exit', done));
    hall?.kill('SIGINT');
    await ended;
    data.remove();
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  });

  test('the browser finds nothing that keeps the app from being installed', async () => {
    const cdp = await context.newCDPSession(page);
    expect(await page.evaluate('isSecureContext')).toBe(true);
    expect((await cdp.send('Page.getInstallabilityErrors')).installabilityErrors).toEqual([]);
    const { data: manifest, errors } = await cdp.send('Page.getAppManifest');
    expect(errors).toEqual([]);
    expect(JSON.parse(manifest!)).toMatchObject({ start_url: '/daybook', display: 'standalone' });
  });

  test('started again with no network, it opens, and the checker finds nothing', async () => {
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await page.reload(); // the second page is the worker's
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await context.close();
    await openPhone();
    await context.setOffline(true);
    await page.goto(`${address}/daybook`);
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await page.getByText('Out of reach. You can go on').waitFor();
    await looked(page, 'installed-away');
    await page.goto(`${address}/new`);
    await page.getByRole('heading', { level: 1, name: 'Top' }).waitFor();
    await looked(page, 'installed-away-new');
  });
});
