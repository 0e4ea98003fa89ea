import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Refused } from '../api/call';
import { Blocked, Unreadable, type Looked } from './checks';
import { Looks } from './looks.svelte';

beforeEach(() => {
  vi.stubGlobal('URL', Object.assign(URL, { createObjectURL: () => 'blob:x', revokeObjectURL: () => undefined }));
});
afterEach(() => vi.unstubAllGlobals());

const said = { seen: {}, advice: [{ text: 'Take it again.' }] } as unknown as Looked;
const blob = new Blob(['x']);
const later = () => new Promise((done) => setTimeout(done, 5));

test('the phone looks, and the server is not asked', async () => {
  const ask = vi.fn();
  const l = new Looks(async () => said, ask);
  l.begin('f', 'top', blob);
  expect(l.last?.state).toBe('looking');
  l.came('f', 'p');
  await later();
  expect(l.of('p')).toMatchObject({ state: 'looked', by: 'phone', looked: said });
  expect(ask).not.toHaveBeenCalled();
});

test('where the browser forbids it the server looks, once it has the photograph', async () => {
  const ask = vi.fn(async () => said);
  const l = new Looks(async () => { throw new Blocked('no'); }, ask);
  l.begin('f', 'top', blob);
  await later();
  expect(l.last).toMatchObject({ state: 'waits for the server', by: 'server' });
  expect(ask).not.toHaveBeenCalled();
  l.came('f', 'p');
  await later();
  expect(ask).toHaveBeenCalledWith('p', 'top');
  expect(l.of('p')).toMatchObject({ state: 'looked', by: 'server' });
});

test('what comes before the browser has said that it forbids it is asked for as well', async () => {
  const l = new Looks(async () => { await later(); throw new Blocked('no'); }, async () => said);
  l.begin('f', 'side', blob);
  l.came('f', 'p');
  await later();
  await later();
  expect(l.of('p')?.state).toBe('looked');
});

test('what is no picture is not looked at, and nothing else happens', async () => {
  const ask = vi.fn();
  const l = new Looks(async () => { throw new Unreadable('no picture'); }, ask);
  l.begin('f', 'top', blob);
  l.came('f', 'p');
  l.came('unknown', 'q');
  await later();
  expect(l.last?.state).toBe('not looked');
  expect(ask).not.toHaveBeenCalled();
});

test('several are looked over one after another, each as the view that it is, and one taken meanwhile goes before them', async () => {
  const seen: string[] = [];
  let at = 0;
  const l = new Looks(async (_, kind) => { expect(++at).toBe(1); await later(); at--; seen.push(kind); return said; }, vi.fn());
  for (const [file, kind] of [['a', 'top'], ['b', 'side'], ['c', 'underneath']] as const) l.begin(file, kind, blob, true);
  expect([l.several.length, l.done, l.last]).toEqual([3, 0, undefined]);
  l.begin('d', 'surroundings', blob);
  l.is('c', 'base'); // put right before its turn has come
  await vi.waitFor(() => expect(l.done).toBe(3));
  expect(seen).toEqual(['top', 'surroundings', 'side', 'base']);
  l.is('a', 'close-up'); // put right afterwards: what is asked of it is another thing
  await vi.waitFor(() => expect(l.of('a')).toMatchObject({ state: 'looked', kind: 'close-up' }));
  expect(seen.at(-1)).toBe('close-up');
  l.drop('b');
  expect(l.several.map((x) => x.file)).toEqual(['a', 'c']);
});

test('sixty at once are all looked over, one that can not be read among them', async () => {
  const l = new Looks(async (b) => { if (b.size === 0) throw new Unreadable('no picture'); return said; }, vi.fn());
  for (let i = 0; i < 60; i++) l.begin(`f${i}`, 'top', i === 30 ? new Blob([]) : blob, true);
  await vi.waitFor(() => expect(l.done).toBe(60));
  expect(l.several.filter((x) => x.state === 'looked').length).toBe(59);
});

test('the lens is told to the check', async () => {
  const check = vi.fn(async () => said);
  const l = new Looks(check, vi.fn(), async () => ({ film35: 26 }));
  l.begin('f', 'top', blob);
  await vi.waitFor(() => expect(l.last?.state).toBe('looked'));
  expect(check).toHaveBeenCalledWith(blob, 'top', { film35: 26 });
});

test('an answer of the server’s that comes after the photograph was called another view is passed over, a failure too', async () => {
  const answers: [string, (l: Looked) => void, (why: unknown) => void][] = [];
  const l = new Looks(async () => { throw new Blocked('no'); }, (_, kind) => new Promise((done, failed) => answers.push([kind, done, failed])));
  l.begin('f', 'top', blob);
  l.came('f', 'p');
  await vi.waitFor(() => expect(answers.length).toBe(1));
  l.is('p', 'side');
  answers[0]![2](new Refused(0, 'Out of reach.'));
  await vi.waitFor(() => expect(answers.map(([kind]) => kind)).toEqual(['top', 'side']));
  answers[1]![1](said);
  await later();
  expect(l.of('p')).toMatchObject({ state: 'looked', kind: 'side' });
});

test('what the server could not be asked about is asked about again in reach', async () => {
  let reach = false;
  const l = new Looks(async () => { throw new Blocked('no'); }, async () => { if (reach) return said; throw new Refused(0, 'Out of reach.'); });
  l.begin('f', 'top', blob);
  l.begin('g', 'side', blob); // not handed in yet: it is not asked about
  l.came('f', 'p');
  await vi.waitFor(() => expect(l.list.map((x) => x.state)).toEqual(['waits for the server', 'waits for the server']));
  reach = true;
  l.again();
  await vi.waitFor(() => expect(l.list.map((x) => x.state)).toEqual(['looked', 'waits for the server']));
});
