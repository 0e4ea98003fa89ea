import { afterEach, expect, test, vi } from 'vitest';
import { season } from './season.svelte';

afterEach(() => vi.unstubAllGlobals());

const shown = (name: string) => Response.json({ code: 'S26', choices: {}, ...(name ? { me: { id: name, name, places: [], roles: [] } } : {}) });

test('an answer to an earlier question stands in nothing’s place, and whoever asked it goes by the later one', async () => {
  const answers: ((r: Response) => void)[] = [];
  vi.stubGlobal('fetch', () => new Promise((done) => answers.push(done)));
  const first = season.load();
  const second = season.load();
  await vi.waitFor(() => expect(answers.length).toBe(2));
  let ended = false;
  void first.then(() => (ended = true));
  answers[0]!(shown('Wren'));
  await new Promise((done) => setTimeout(done, 20));
  expect([season.me, ended]).toEqual([null, false]); // they have left meanwhile, say
  answers[1]!(shown(''));
  await Promise.all([first, second]);
  expect([season.me, season.now?.code]).toEqual([null, 'S26']);
});

test('leaving out of reach leaves nobody', async () => {
  vi.useFakeTimers();
  vi.stubGlobal('fetch', async () => { throw new TypeError('cut'); });
  const left = season.leave();
  await vi.runAllTimersAsync();
  expect([await left, season.unleft]).toEqual([false, true]);
  vi.stubGlobal('fetch', async (path: string) => (path === '/api/leave' ? Response.json({}) : shown('')));
  const then = season.leave();
  await vi.runAllTimersAsync();
  expect([await then, season.unleft]).toEqual([true, false]);
  vi.useRealTimers();
});
