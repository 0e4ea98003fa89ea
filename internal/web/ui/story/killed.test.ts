/**
 * The phone goes dark at any moment: the browser's process is killed while photographs are chosen, kept, sent, with
 * the server near, far, slow or stammering. What the screen called kept arrives once; nothing is doubled.
 * KILLS says how often (10), SEED what is drawn.
 */
import { createHash, randomBytes } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { BadWay, goodWay, type Way } from './badway';
import { ask, fieldSeason } from './field-season';
import { freshFolder, type Serving } from './program';

const rounds = Number(process.env.KILLS ?? 10);
let seed = Number(process.env.SEED ?? 1);
/** random draws from 0 to 1, by a linear congruential generator with the constants of ISO C's example. */
const random = () => ((seed = (seed * 1103515245 + 12345) % 2 ** 31), (seed >>> 8) / 2 ** 23);
const hashOf = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');
const pause = (ms: number) => new Promise<void>((done) => setTimeout(done, ms));

const shot = readFileSync(fileURLToPath(new URL('files/IMG_2041.jpg', import.meta.url)));
/** photograph is one of its own: a comment (ISO/IEC 10918-1, B.2.4.5) of noise after the start of the image. */
function photograph(n: number): { name: string; bytes: Buffer; hash: string } {
  const size = 100 + Math.floor(random() * 60_000);
  const comment = Buffer.concat([Buffer.from([0xff, 0xfe, (size + 2) >> 8, (size + 2) & 0xff]), randomBytes(size)]);
  const bytes = Buffer.concat([shot.subarray(0, 2), comment, shot.subarray(2)]);
  return { name: `IMG_${3000 + n}.jpg`, bytes, hash: hashOf(bytes) };
}

/** processOf finds the browser's own process by its profile, which nobody else has. */
function processOf(profile: string): number {
  for (const pid of readdirSync('/proc').filter((x) => /^\d+$/.test(x))) {
    let line = '';
    try {
      line = readFileSync(`/proc/${pid}/cmdline`, 'utf8');
    } catch {
      continue; // ended meanwhile
    }
    if (line.includes(`--user-data-dir=${profile}\0`) && !line.includes('--type=')) return Number(pid);
  }
  throw new Error('the browser does not run');
}

const ways: [string, number, Way][] = [
  ['out of reach', 0.35, { gone: true, loses: 0, slow: false }],
  ['near', 0.25, goodWay],
  ['stammering', 0.25, { gone: false, loses: 0.2, slow: false }],
  ['slow', 0.15, { gone: false, loses: 0, slow: true }],
];
function drawWay(): [string, Way] {
  let at = random();
  for (const [name, part, way] of ways) if ((at -= part) < 0) return [name, way];
  return ['near', goodWay];
}

/** Stage is what a phone is about. */
type Stage = 'choosing' | 'keeping' | 'kept' | 'sending';
/** When it is killed: what it has come to, its part of the kills, and within how many milliseconds from then. */
const stages: [Stage, number, number][] = [['choosing', 0.3, 2500], ['keeping', 0.25, 500], ['kept', 0.3, 4000], ['sending', 0.15, 3000]];
function drawStage(): [Stage, number] {
  let at = random();
  for (const [stage, part, within] of stages) if ((at -= part) < 0) return [stage, within];
  return ['choosing', 2500];
}

describe('killed', () => {
  const data = freshFolder('killed');
  const profile = mkdtempSync(join(tmpdir(), 'trug-killed-'));
  let program: Serving;
  let way: BadWay;
  let context: BrowserContext;
  let page: Page;
  /** What was chosen, what the screen called kept, and how the rounds went. */
  const chosen = new Set<string>();
  const promised: { round: number; hashes: string[]; how: string }[] = [];
  const tally: Record<string, number> = {};
  const count = (what: string) => (tally[what] = (tally[what] ?? 0) + 1);
  let shots = 0;

  async function openPhone(): Promise<void> {
    context = await chromium.launchPersistentContext(profile, {
      executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', viewport: { width: 390, height: 844 }, locale: 'en-GB',
      args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--force-color-profile=srgb'],
    });
    page = context.pages()[0] ?? (await context.newPage());
    page.setDefaultTimeout(60_000);
  }
  /** kill ends the browser without a word, as the kernel does when memory is short. */
  async function kill(): Promise<void> {
    const gone = closed();
    process.kill(processOf(profile), 'SIGKILL');
    await gone;
  }
  const closed = () => new Promise<void>((done) => context.once('close', () => done()));
  /** goes moves within the app, as a link does. */
  const goes = (to: string) => page.evaluate((href) => { const a = document.createElement('a'); a.href = href; document.body.append(a); a.click(); a.remove(); }, to);
  const waiting = () => page.evaluate(() => new Promise<number>((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const g = o.result.transaction('records').objectStore('records').count(); g.onsuccess = () => { o.result.close(); done(g.result); }; }; }));

  beforeAll(async () => {
    const season = await fieldSeason(data.path);
    program = season.program;
    way = await BadWay.to(program.address, random);
    await openPhone();
    await page.goto(`${way.address}/join#${season.code}`);
    await page.getByLabel('What may we call you?').fill('Wren');
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await page.reload();
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    while (!(await page.evaluate(() => new Promise<boolean>((done) => { const o = indexedDB.open('trug-field'); o.onsuccess = () => { const g = o.result.transaction('held').objectStore('held').get('season'); g.onsuccess = () => { o.result.close(); done(g.result !== undefined); }; }; })))) await pause(100);
    await kill(); // before the browser has written down who is in
  });
  afterAll(async () => {
    await context?.close().catch(() => undefined);
    way?.close();
    await program?.stop();
    data.remove();
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  });

  /** makes makes a record as far as it comes until the browser is killed, and tells what it has come to. */
  async function makes(round: number, at: (stage: Stage) => void): Promise<void> {
    await page.goto(`${way.address}/new`, { waitUntil: 'commit' });
    await page.locator('input[type=file]').first().waitFor({ state: 'attached' });
    const mine: string[] = [];
    at('choosing');
    for (let n = 1 + Math.floor(random() * 3); n > 0; n--) {
      const p = photograph(shots++);
      chosen.add(p.hash);
      mine.push(p.hash);
      await page.locator('input[type=file]').first().setInputFiles({ name: p.name, mimeType: 'image/jpeg', buffer: p.bytes });
    }
    await goes('/new?q=said');
    await page.getByRole('button', { name: /^Keep (the record|it on this phone now)$/, disabled: false }).first().click({ noWaitAfter: true });
    at('keeping');
    const heading = await page.getByRole('heading', { name: /^Kept on this phone$|is kept$/ }).textContent();
    const how = heading?.startsWith('Kept') ? 'kept on the phone' : 'kept at the server';
    promised.push({ round, hashes: mine, how });
    count(how);
    at('kept');
    await goes('/daybook'); // where it is sent
    await closed();
  }

  test(`killed ${rounds} times, what was called kept arrives once`, async () => {
    for (let round = 0; round < rounds; round++) {
      const [name, w] = drawWay();
      way.become(w);
      count(name);
      await openPhone();
      const before = promised.length;
      const [stage, within] = drawStage();
      let reached: () => void = () => undefined;
      const there = new Promise<void>((done) => (reached = done));
      const at = (now: Stage) => now === stage && reached();
      const opens = async () => {
        await page.goto(`${way.address}/daybook`, { waitUntil: 'commit' });
        await page.getByRole('heading', { name: 'Daybook' }).waitFor();
        at('sending');
        await closed();
      };
      // Whatever it was about when it was killed fails; what it had come to is in promised.
      const acts = (stage === 'sending' ? opens() : makes(round, at)).catch((e: Error) => {
        if (!/closed|crashed|detached/.test(e.message)) console.log(`round ${round} (${name}, ${stage}): ${e.message.split('\n')[0]}`);
        reached();
      });
      await there;
      await pause(random() * within);
      count(stage);
      await kill();
      await acts;
      count(promised.length > before ? 'killed after it was called kept' : 'killed before');
    }
    way.become(goodWay);
    await openPhone();
    await page.goto(`${way.address}/daybook`);
    await page.getByRole('heading', { name: 'Daybook' }).waitFor();
    await expect.poll(waiting, { timeout: 240_000, interval: 1000 }).toBe(0);
    console.log(`${rounds} kills: ${JSON.stringify(tally)}; ${way.lost} requests lost on the way`);
    await compare();
  }, 3_600_000);

  /** compare holds what is at the server against what the screen had called kept. */
  async function compare(): Promise<void> {
    const book = await ask<{ total: number; lines: { id: string }[] }>(page, 'GET', '/records?limit=500');
    expect(book.lines.length).toBe(book.total);
    const there = new Map<string, string[]>(); // hash: records
    const bare: string[] = [];
    for (const line of book.lines) {
      const sheet = await ask<{ views: { photograph: string }[] }>(page, 'GET', `/records/${line.id}`);
      if (sheet.views.length === 0) bare.push(line.id);
      for (const v of sheet.views) {
        const hash = await page.evaluate(async (id) => {
          const bytes = await (await fetch(`/api/photographs/${id}/original`)).arrayBuffer();
          return [...new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))].map((b) => b.toString(16).padStart(2, '0')).join('');
        }, v.photograph);
        there.set(hash, [...(there.get(hash) ?? []), line.id]);
      }
    }
    const kept = promised.flatMap((p) => p.hashes);
    const lost = promised.flatMap((p) => p.hashes.filter((h) => !there.has(h)).map((h) => `round ${p.round}, ${p.how}: ${h}`));
    const apart = promised.filter((p) => new Set(p.hashes.flatMap((h) => there.get(h) ?? [])).size > 1).map((p) => p.round);
    const doubled = [...there].filter(([, records]) => records.length > 1).map(([hash]) => hash);
    const strange = [...there.keys()].filter((h) => !chosen.has(h));
    console.log(`${promised.length} records with ${kept.length} photographs were called kept; ${book.total} records with ${there.size} photographs are at the server, of ${chosen.size} chosen; ${lost.length} lost, ${doubled.length} doubled`);
    expect({ lost, apart, doubled, strange, bare }).toEqual({ lost: [], apart: [], doubled: [], strange: [], bare: [] });
  }
});
