/**
 * Not a test: types 60 finds of the demonstration into the foray table by the
 * keyboard alone, counts the keys, and says how long an untrained typist would
 * take; then pastes 9,900 rows and says how long it took to keep them.
 *
 *     npm run typing
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'vitest';
import type { ForayTablePage } from '../src/api/foray';
import type { ShownForay } from '../src/api/desk';
import { desk, openBrowser, Person } from './person';
import { freshFolder, serve } from './program';

/** What a typist is taken to be. */
const typists = [
  // Dhakal, Feit, Kristensson and Oulasvirta, "Observations on Typing from 136 Million Keystrokes", CHI 2018: a mean of 52
  // words of five letters a minute over 168,000 volunteers. The figure is given from memory.
  { who: 'at 52 words a minute, the mean of volunteers', wordsPerMinute: 52 },
  // Half of it, for those who look for the keys: our assumption.
  { who: 'at 26 words a minute, looking for the keys', wordsPerMinute: 26 },
];
/** Seconds for reading a slip and turning it over, and for looking at the choices of a cell: our assumptions. */
const SLIP = 4;
const LOOK = 0.8;

interface Find {
  name: string;
  substrate: string;
  host: string;
  count: string;
  kept: boolean;
}

function finds(labels: Map<string, string>): Find[] {
  const text = readFileSync(new URL('../../../demo/data/records.csv', import.meta.url), 'utf8').trim().split('\n').map((l) => l.split(','));
  const head = text[0]!;
  const cell = (row: string[], name: string) => row[head.indexOf(name)] ?? '';
  return text
    .slice(1)
    .filter((r) => cell(r, 'field_name') !== '')
    .slice(0, 60)
    .map((r) => ({
      name: cell(r, 'field_name'), substrate: labels.get(cell(r, 'substrate')) ?? '', host: cell(r, 'host'), count: cell(r, 'number_seen'), kept: cell(r, 'voucher_number') !== '',
    }));
}

test('sixty finds by keyboard, and a large paste', { timeout: 900_000 }, async () => {
  const data = freshFolder('typing');
  const drawn = await serve('demo', data.path, { today: '2026-10-10' });
  const links = drawn.links;
  await drawn.stop(); // what follows runs without the painter beside it
  const program = await serve('serve', data.path, { today: '2026-10-10' });
  const browser = await openBrowser();
  try {
    const leader = await Person.at(browser, 'leader', desk);
    await leader.open(`${program.address}${new URL(links.get('coordinator')!).pathname}`);
    const forays = await ask<ShownForay[]>(leader, '/api/forays');
    const season = await ask<{ choices: { substrate: { state: string; label: string }[] } }>(leader, '/api/season');
    const labels = new Map(season.choices.substrate.map((s) => [s.state, s.label]));
    const [typed, pasted] = forays.filter((y) => !y.visit && y.date < '2026-10-10');
    await leader.page.evaluate(
      async ([foray, id]) => fetch(`/api/slips/${id}`, { method: 'PUT', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ foray, count: 60 }) }),
      [typed!.id, '01990000-0000-7000-8000-00000000abcd'],
    );
    await leader.open(`${program.address}/desk/forays/${typed!.id}/table`);
    await typeAll(leader, finds(labels));
    if (process.env.LOOKS) await leader.page.screenshot({ path: join(process.env.LOOKS, 'typed.png') });
    await leader.open(`${program.address}/desk/forays/${pasted!.id}/table`);
    await pasteAll(leader, pasted!.id);
  } finally {
    await browser.close();
    await program.stop();
    data.remove();
  }
});

async function ask<T>(p: Person, address: string): Promise<T> {
  return (await p.page.evaluate(async (a) => (await fetch(a)).json(), address)) as T;
}

const cell = (p: Person) => p.page.evaluate(() => {
  const e = document.activeElement as HTMLInputElement;
  return { column: e.dataset.column ?? '', value: e.value, marked: document.querySelector('[role=option][aria-selected=true]')?.firstElementChild?.textContent ?? '' };
});

/** complete types as few letters as it takes until the choice that is meant is marked; whether it was. */
async function complete(p: Person, wanted: string, parts: string[]): Promise<boolean> {
  for (const part of parts) {
    await p.type(part);
    await p.page.waitForTimeout(200); // a typist looks at the choices; the list comes meanwhile
    if ((await cell(p)).marked === wanted) return true;
  }
  return false;
}

/** The fragments by which a name is typed: three letters of each word, then more of the last. */
function fragments(name: string): string[] {
  const [genus, epithet] = name.split(' ') as [string, string | undefined];
  if (!epithet) return [genus.slice(0, 4).toLowerCase(), ...genus.slice(4).toLowerCase()];
  return [`${genus.slice(0, 3)} ${epithet.slice(0, 3)}`.toLowerCase(), ...epithet.slice(3)];
}

async function typeAll(p: Person, rows: Find[]): Promise<void> {
  await p.page.waitForSelector('[data-at="0"]');
  await p.page.getByRole('button', { name: 'To the first blank row' }).click();
  let looks = 0;
  const began = p.keys;
  let above: Find | null = null;
  for (const f of rows) {
    looks++;
    if (!(await complete(p, f.name, fragments(f.name)))) throw new Error(`${f.name} is not offered`);
    await p.press('Tab', 2); // takes it, and passes the qualifier
    if (above === null) await p.type('D1');
    await p.press('Tab');
    if (f.substrate !== '') {
      if (above?.substrate === f.substrate) {
        p.keys++; // two keys held together
        await p.press('Control+d');
      } else {
        looks++;
        const whole = f.substrate.toLowerCase();
        if (!(await complete(p, f.substrate, [whole.slice(0, 2), ...whole.slice(2)]))) throw new Error(`${f.substrate} is not offered`);
      }
    }
    await p.press('Tab');
    if (f.host !== '') {
      if (above?.host === f.host) {
        p.keys++;
        await p.press('Control+d');
      } else if (!(await complete(p, f.host, [f.host.slice(0, 2), ...f.host.slice(2)]))) await p.press('Escape');
    }
    await p.press('Tab');
    await p.type(f.count);
    if (f.kept) {
      await p.press('Tab');
      await p.press('Space');
    }
    await p.press('Enter');
    above = f;
  }
  const keys = p.keys - began;
  await p.page.waitForFunction(() => !/on the way/.test(document.querySelector('.stands')?.textContent ?? ''), undefined, { timeout: 60_000 });
  await p.page.waitForTimeout(1500);
  const faults = await p.page.evaluate(() => [...document.querySelectorAll('[data-standing=fault] .stand span')].map((e) => e.textContent));
  if (faults.length > 0) console.log(`not kept: ${faults.join('; ')}`);
  console.log(`60 finds: ${keys} keys, ${(keys / 60).toFixed(1)} a find; ${looks} looks at choices; ${await p.page.textContent('.stands')}`);
  for (const t of typists) {
    const seconds = keys / ((t.wordsPerMinute * 5) / 60) + 60 * SLIP + looks * LOOK;
    console.log(`${t.who}: ${(seconds / 60).toFixed(1)} minutes, with ${SLIP} s for each slip and ${LOOK} s for each look`);
  }
}

async function pasteAll(p: Person, foray: string): Promise<void> {
  const text = Array.from({ length: 9900 }, (_, i) => ['', 'Mycena pura', '', 'D1', 'leaf litter', 'Fagus', `${(i % 7) + 1}`].join('\t')).join('\n');
  await p.page.waitForSelector('[data-at="0"]');
  const before = (await ask<ForayTablePage>(p, `/api/forays/${foray}/table`)).rows.length;
  await p.page.evaluate((t) => navigator.clipboard.writeText(t), text);
  await p.page.getByRole('button', { name: 'To the first blank row' }).click();
  await p.page.keyboard.press('Shift+Tab'); // to its number
  const began = performance.now();
  await p.page.keyboard.press('Control+v');
  await p.page.waitForSelector('.pasted');
  const shown = performance.now();
  await p.page.waitForFunction((n) => (document.querySelector('.stands')?.textContent ?? '').replaceAll(/[,\s]/g, '').startsWith(`${n}findskept.`), before + 9900, { timeout: 300_000 });
  console.log(`9,900 rows pasted: shown after ${((shown - began) / 1000).toFixed(1)} s, kept after ${((performance.now() - began) / 1000).toFixed(1)} s`);
}
