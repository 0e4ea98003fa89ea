import { afterEach, beforeEach, expect, test, vi } from 'vitest';
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
