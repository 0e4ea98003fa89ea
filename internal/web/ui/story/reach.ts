/**
 * Not a test: says how long the pages of the Season desk take to stand in a
 * season of 500 sites, 5,000 forays and 50,000 people, and how smoothly an
 * outline of 10,000 corners moves.
 *
 *     npm run reach             makes the season first (half a minute)
 *     DATA=folder npm run reach takes one that `go run ./internal/app/apptest/fill folder` made
 *
 * TIMES says how often each is done (7); the median is printed, and the least.
 */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { test } from 'vitest';
import { desk, openBrowser, Person } from './person';
import { freshFolder, run, serve } from './program';

const times = Number(process.env.TIMES ?? 7);
const root = fileURLToPath(new URL('../../../..', import.meta.url));

/** What must stand on the page, and how one comes to it by a click. */
interface Opened {
  name: string;
  path: string;
  shows: string;
  /** A link of the page before, and where that is. */
  click?: { on: string; link: string };
}

test('how long the desk takes in a large season', { timeout: 1_800_000 }, async () => {
  const made = freshFolder('reach');
  const data = process.env.DATA ?? join(made.path, 'season');
  if (!process.env.DATA) execFileSync('go', ['run', './internal/app/apptest/fill', data], { cwd: root, stdio: 'inherit', env: { ...process.env, GOFLAGS: '-tags=nodynamic' } });
  const program = await serve('serve', data, { today: '2026-10-10' });
  const browser = await openBrowser();
  try {
    const me = await Person.at(browser, 'coordinator', desk);
    const began = performance.now();
    await comeIn(me, data, program.address);
    await me.open(program.address);
    await me.page.locator('main h1').first().waitFor();
    console.log(`server answers ${ms(program.firstPage)} after its start; the first page that reads the season ${ms(performance.now() - began)} more; ${memory(program.pid)}`);
    const got = async <T>(path: string) => (await (await me.context.request.get(`${program.address}/api${path}`)).json()) as T;
    const first = async (path: string) => (await got<{ lines: { id: string }[] }>(path)).lines[0]!.id;
    const [site, large, foray, person] = [await first('/sites'), await first('/sites?text=s101'), await first('/forays?only=past&sort=-date'), await first('/people?only=leader&from=200')];
    const at = program.address;
    for (const page of pages({ site, large, foray, person })) {
      const loads: number[] = [];
      const clicks: number[] = [];
      for (let n = 0; n < times; n++) {
        loads.push(await load(me.page, at + page.path, page.shows));
        if (!page.click) continue;
        await me.page.goto(at + page.click.on);
        await me.page.locator(page.click.link).first().waitFor();
        clicks.push(await click(me.page, page.click.link, page.shows));
      }
      console.log(`${page.name.padEnd(34)} from the address ${said(loads)}${clicks.length > 0 ? `   by a click ${said(clicks)}` : ''}`);
    }
    for (const [name, path, typed] of [['sites', '/desk/sites', 'ashb'], ['forays', '/desk/forays', 'wickf'], ['people', '/desk/people', 'tilda']] as const) {
      const lasts: number[] = [];
      for (let n = 0; n < times; n++) lasts.push(await search(me.page, at + path, typed));
      console.log(`${`${name}: a letter more in the search`.padEnd(34)} ${said(lasts)}`);
    }
    const papers: number[] = [];
    const coming = await first('/forays?only=coming');
    for (let n = 0; n < times; n++) {
      const from = performance.now();
      const answer = await me.context.request.get(`${at}/api/paper/leaders-sheet.pdf?foray=${coming}`);
      await answer.body();
      papers.push(performance.now() - from);
    }
    console.log(`${'leader’s sheet as PDF'.padEnd(34)} ${said(papers)}`);
    await me.page.goto(`${at}/desk/sites/${large}`);
    await me.page.locator('.stage .frame, .ground .frame').first().waitFor();
    await me.page.waitForLoadState('networkidle');
    for (const [name, how] of [['moved by hand', moved], ['zoomed by the wheel', zoomed]] as const) {
      const frames = await how(me.page);
      const late = frames.filter((f) => f > 34).length;
      console.log(`${`10,000 corners ${name}`.padEnd(34)} ${frames.length} frames, median ${ms(median(frames))}, longest ${ms(Math.max(...frames))}, ${late} over 34 ms`);
    }
    console.log(`at the end ${memory(program.pid)}`);
  } finally {
    await browser.close();
    await program.stop();
    made.remove();
  }
});

/** comeIn takes an invitation made beside the running server, as a coordinator of the season who comes in anew. */
async function comeIn(me: Person, data: string, address: string) {
  const again = process.env.COORDINATOR ?? 'Ngozi Puddlecombe';
  const link = /https?:\S+/.exec(run('invite', '--data', data, '--public-address', address, '--again', again))![0];
  await me.open(link);
  await me.page.locator('input[type=password]').first().fill('mossy heron by lamplight');
  await me.page.getByRole('button', { name: 'Use this password' }).click();
  await me.page.getByRole('link', { name: 'I have them: go on' }).waitFor();
}

function pages(of: { site: string; large: string; foray: string; person: string }): Opened[] {
  const tab = (name: string) => ({ on: '/desk/names', link: `nav a[href="/desk/${name}"]` });
  return [
    { name: 'Season desk', path: '/desk', shows: '.odd li', click: { on: '/desk/names', link: 'nav a[href="/desk"]' } },
    { name: 'sites', path: '/desk/sites', shows: 'tbody tr', click: tab('sites') },
    { name: 'sites, with the map', path: '/desk/sites', shows: '.map a path' },
    { name: 'one site', path: `/desk/sites/${of.site}`, shows: 'form #name', click: { on: '/desk/sites', link: 'tbody tr a' } },
    { name: 'a site of 10,000 corners', path: `/desk/sites/${of.large}`, shows: 'form .ring' },
    { name: 'a new site', path: '/desk/sites/new', shows: 'form #name', click: { on: '/desk/sites', link: 'a[href="/desk/sites/new"]' } },
    { name: 'forays', path: '/desk/forays', shows: 'tbody tr', click: tab('forays') },
    { name: 'one foray', path: `/desk/forays/${of.foray}`, shows: 'form #name', click: { on: '/desk/forays', link: 'tbody tr a' } },
    { name: 'a new foray', path: '/desk/forays/new', shows: 'form #name', click: { on: '/desk/forays', link: 'a[href="/desk/forays/new"]' } },
    { name: 'the table of a foray', path: `/desk/forays/${of.foray}/table`, shows: '.bar' },
    { name: 'people', path: '/desk/people', shows: 'tbody tr', click: tab('people') },
    { name: 'people, the last leaf by name', path: '/desk/people?sort=name&from=49950', shows: 'tbody tr' },
    { name: 'one person', path: `/desk/people/${of.person}`, shows: 'form #name', click: { on: '/desk/people', link: 'tbody tr a' } },
    { name: 'a new person', path: '/desk/people/new', shows: 'form #name', click: { on: '/desk/people', link: 'a[href="/desk/people/new"]' } },
    { name: 'names', path: '/desk/names', shows: 'main h1' },
    { name: 'paper', path: '/desk/paper', shows: '#leads', click: tab('paper') },
  ];
}

/** In the page: waits until something stands there and was painted, and says when. */
const painted = `(shows) => new Promise((done) => {
  const look = () => document.querySelector(shows) ? requestAnimationFrame(() => setTimeout(() => done(performance.now()), 0)) : requestAnimationFrame(look);
  look();
})`;

/** load is the time from typing an address to the painted rows; the browser has the app's own files already. */
async function load(page: Page, address: string, shows: string): Promise<number> {
  await page.goto('about:blank');
  await page.goto(address, { waitUntil: 'commit' });
  // performance.now() of a page counts from the start of its navigation.
  return (await page.evaluate(`(${painted})(${JSON.stringify(shows)})`)) as number;
}

async function click(page: Page, link: string, shows: string): Promise<number> {
  return (await page.evaluate(`(async () => {
    const link = document.querySelector(${JSON.stringify(link)});
    const heading = document.querySelector('main h1');
    const from = performance.now();
    link.click();
    while (document.contains(heading)) await new Promise((later) => requestAnimationFrame(later));
    return (await (${painted})(${JSON.stringify(shows)})) - from;
  })()`)) as number;
}

/** search is the time from a letter more to the count that answers to it. */
async function search(page: Page, address: string, typed: string): Promise<number> {
  await page.goto(address);
  await page.locator('#find').fill(typed.slice(0, -1));
  await page.waitForLoadState('networkidle');
  return (await page.evaluate(`(async () => {
    const field = document.querySelector('#find');
    const count = document.querySelector('p.num[role=status]');
    const before = count.textContent;
    const from = performance.now();
    field.value = ${JSON.stringify(typed)};
    field.dispatchEvent(new InputEvent('input', { bubbles: true }));
    const ends = from + 5000;
    while (count.textContent === before && performance.now() < ends) await new Promise((later) => requestAnimationFrame(later));
    await new Promise((later) => requestAnimationFrame(() => setTimeout(later, 0)));
    return performance.now() - from;
  })()`)) as number;
}

/** frames collects the lengths of frames while something is done. */
async function frames(page: Page, act: () => Promise<void>): Promise<number[]> {
  await page.evaluate(`window.frameTimes = []; window.counting = true; { let last = performance.now(); const tick = (t) => { window.frameTimes.push(t - last); last = t; if (window.counting) requestAnimationFrame(tick); }; requestAnimationFrame((t) => { last = t; requestAnimationFrame(tick); }); }`);
  await act();
  return (await page.evaluate('window.counting = false; window.frameTimes')) as number[];
}

async function middleOf(page: Page): Promise<{ x: number; y: number }> {
  const frame = page.locator('.ground .frame').first();
  await frame.scrollIntoViewIfNeeded();
  const box = (await frame.boundingBox())!;
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

async function moved(page: Page): Promise<number[]> {
  const at = await middleOf(page);
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  const got = await frames(page, async () => {
    for (let n = 0; n < 90; n++) await page.mouse.move(at.x + 120 * Math.sin(n / 8), at.y + 60 * Math.cos(n / 5));
  });
  await page.mouse.up();
  return got;
}

async function zoomed(page: Page): Promise<number[]> {
  await page.locator('.ground .frame').first().focus();
  const at = await middleOf(page);
  await page.mouse.move(at.x, at.y);
  return frames(page, async () => {
    for (let n = 0; n < 40; n++) {
      await page.mouse.wheel(0, n % 20 < 10 ? -100 : 100);
      await page.waitForTimeout(30);
    }
  });
}

const median = (all: number[]) => all.toSorted((a, b) => a - b)[Math.floor(all.length / 2)] ?? NaN;
const ms = (x: number) => `${Math.round(x)} ms`;
const said = (all: number[]) => `${ms(median(all)).padStart(7)} (least ${ms(Math.min(...all))})`;

/** memory is what the program holds, as Linux tells it. */
function memory(pid: number): string {
  try {
    const held = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
    return `the program holds ${Math.round(Number(held) / 1000)} MB`;
  } catch {
    return 'what the program holds is told on Linux alone';
  }
}
