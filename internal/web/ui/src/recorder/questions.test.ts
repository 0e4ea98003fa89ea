import { describe, expect, it, vi } from 'vitest';
import type { Choices } from '../api/types';
import { emptyDraft } from './draft';
import { clockNow, homeOf, questionsOf, saidOf, split, titles, type Question } from './questions';

const d = () => emptyDraft('id', { date: '2026-10-10', time: '11:34:20' });
const c = (state: string) => ({ state, label: `${state}!`, says: '' });
const choices: Choices = { form: [c('gilled')], substrate: [c('stump')], habit: [], ripeness: [], smell: [c('mealy')], sporePrint: [] };

describe('questions', () => {
  it('asks for the colour of a spore print only where there is one', () => {
    expect(questionsOf(d())).not.toContain('sporePrint');
    expect(questionsOf({ ...d(), photographs: [{ id: 'a', fileName: '', kind: 'spore print', notes: [] }] })).toContain('sporePrint');
  });
  it('says nothing for what was not answered, and never fails', () => {
    for (const q of Object.keys(titles) as Question[]) expect(saidOf(q, d(), choices)).toBe(q === 'when' ? '10 October 2026, 11:34' : '');
  });
  it('says answers in plain words', () => {
    const full = { ...d(), form: 'gilled', substrate: 'stump', host: 'Picea', smell: 'wet dog', fieldName: 'Mycena', namedBy: 'B', placeSaid: 'unknown' as const };
    expect((['form', 'substrate', 'smell', 'name', 'where'] as const).map((q) => saidOf(q, full, choices))).toEqual(['gilled!', 'stump!; Picea', 'wet dog', 'Mycena, named by B', 'Don’t know yet']);
  });
  it('finds the question of every field that the server may name', () => {
    expect(['found', 'place', 'views.2', 'namedBy', 'nonsense', ''].map(homeOf)).toEqual(['when', 'where', 'views', 'name', null, null]);
  });
});

describe('split', () => {
  it('shows every answer exactly once', () => {
    const all = ['a', 'b', 'c', 'd'].map(c);
    const { first, rest } = split(all, ['c', 'a', 'not there']);
    expect([first.map((x) => x.state), rest.map((x) => x.state)]).toEqual([['c', 'a'], ['b', 'd']]);
    expect(split(all, ['zz'])).toEqual({ first: all, rest: [] });
  });
});

it('reads the clock with its offset', () => {
  const now = { getHours: () => 9, getMinutes: () => 5, getTimezoneOffset: () => -330 } as Date;
  expect(clockNow(now)).toEqual({ time: '09:05', offset: '+05:30' });
});

it('says what was answered on the spot in the language that is spoken, labels too', async () => {
  vi.stubGlobal('localStorage', { getItem: () => 'de' });
  vi.resetModules();
  const { saidOf: inGerman, soFar } = await import('./questions');
  const answered = { ...d(), form: 'gilled', answers: [{ given: { character: 'ring', states: ['absent'] }, label: 'Ring on the stem', said: 'Kein Ring' }] };
  const { word } = await import('../words/said');
  expect(word('Ring on the stem')).not.toBe('Ring on the stem'); // the vocabulary has it so
  expect(inGerman('spot', answered, choices)).toBe(`${word('Ring on the stem')}: Kein Ring`);
  expect(soFar(answered, choices)).toBe(`Form: gilled!; ${word('Ring on the stem')}: Kein Ring`);
  expect(soFar(d(), choices)).toBe('');
  vi.unstubAllGlobals();
});
