import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Steady } from './steady.svelte';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('what changes with every movement of the hand is not read aloud, what stands is, once', () => {
  const s = new Steady();
  const read: string[] = [];
  const frame = (sentence: string) => {
    s.hears(sentence);
    vi.advanceTimersByTime(150);
    if (s.says !== read.at(-1) && s.says !== '') read.push(s.says);
  };
  for (let i = 0; i < 40; i++) frame(i % 3 === 0 ? 'No card is seen.' : 'The card is seen.');
  expect(read).toEqual([]);
  for (let i = 0; i < 40; i++) frame('The card is seen.');
  for (let i = 0; i < 3; i++) frame('No card is seen.');
  for (let i = 0; i < 40; i++) frame('The card is seen.');
  expect(read).toEqual(['The card is seen.']);
  s.hears('No card is seen.');
  s.close();
  vi.advanceTimersByTime(5000);
  expect(s.says).toBe('The card is seen.');
});
