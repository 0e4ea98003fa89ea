import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Ruling } from '../api/desk';
import { emptyDraft } from './draft';
import { askedOf, Rulings, type RulingsAsked } from './rulings.svelte';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const yes: Ruling[] = [{ prompt: 'cut', may: true }];
const draft = emptyDraft('a', { date: '2026-10-10' });
const place = { lat: 48.5, lon: -19.9, source: 'pin' as const };

describe('Rulings', () => {
  it('allow nothing until the server has', async () => {
    const r = new Rulings(async () => yes);
    expect(r.may('cut')).toBe(false);
    r.ask(askedOf(draft, ''));
    expect(r.may('cut')).toBe(false);
    await vi.advanceTimersByTimeAsync(300);
    expect(r.may('cut')).toBe(true);
    expect(r.may('dig')).toBe(false);
  });
  it('stop holding when the place changes, and take no late answer', async () => {
    const answers: ((r: Ruling[]) => void)[] = [];
    const r = new Rulings(() => new Promise((done) => answers.push(done)));
    r.ask(askedOf({ ...draft, place, placeSaid: 'given' }, ''));
    await vi.advanceTimersByTimeAsync(300);
    r.ask(askedOf({ ...draft, place: { ...place, lat: 49 }, placeSaid: 'given' }, ''));
    await vi.advanceTimersByTimeAsync(300);
    answers[0]!(yes);
    await vi.advanceTimersByTimeAsync(0);
    expect(r.may('cut')).toBe(false);
    answers[1]!(yes);
    await vi.advanceTimersByTimeAsync(0);
    expect(r.may('cut')).toBe(true);
  });
  it('allow nothing out of reach, and ask again then', async () => {
    let out = true;
    const sent: RulingsAsked[] = [];
    const r = new Rulings(async (a) => {
      sent.push(a);
      if (out) throw new Error('out');
      return yes;
    });
    r.ask(askedOf(draft, ''));
    await vi.advanceTimersByTimeAsync(300);
    expect(r.may('cut')).toBe(false);
    out = false;
    r.ask(askedOf(draft, ''));
    r.ask(askedOf(draft, ''));
    await vi.advanceTimersByTimeAsync(300);
    expect([r.may('cut'), sent.length]).toEqual([true, 2]);
  });
});

it('asks with what is known', () => {
  expect(askedOf(draft, '')).toEqual({ date: '2026-10-10' });
  expect(askedOf({ ...draft, place, placeSaid: 'unknown' }, 'r')).toEqual({ date: '2026-10-10', record: 'r' });
  expect(askedOf({ ...draft, place, placeSaid: 'camera', fieldName: ' Hericium ' }, '')).toEqual({ date: '2026-10-10', place, name: 'Hericium' });
});
