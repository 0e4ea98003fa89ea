import { describe, expect, it } from 'vitest';
import type { NumberedFind } from '../api/foray';
import { byFind, goesOn, lined, loose, numberOf, typeNumber, viewsOf, type Loose } from './numbered';

const at = (id: string, time: string, more: Partial<Loose> = {}): Loose => ({ ...loose(id, `IMG_${id}.JPG`, { date: '2026-10-10', time }), ...more });
const four = () => [at('3', '10:09:00'), at('1', '10:00:00'), at('2', '10:01:00'), at('4', '10:10:00')];
const numbers = (list: Loose[]) => lined(list).map(numberOf);
const named = (number: string, record: string) => ({ file: '', number, record });

describe('goesOn', () => {
  it('gives the number to those that follow in time, however they came', () => {
    expect(numbers(goesOn(typeNumber(four(), '2', '0305'), '2'))).toEqual(['', '0305', '0305', '0305']);
  });
  it('stops at a number of its own, typed or in the name', () => {
    const typed = typeNumber(four(), '4', '0306');
    expect(numbers(goesOn(typeNumber(typed, '1', '0305'), '1'))).toEqual(['0305', '0305', '0305', '0306']);
    const inName = four().map((p) => (p.id === '3' ? { ...p, named: named('W26-0309', 'r9') } : p));
    expect(numbers(goesOn(typeNumber(inName, '1', '0305'), '1'))).toEqual(['0305', '0305', 'W26-0309', '']);
  });
  it('is gone over by the next: find after find down the list', () => {
    const first = goesOn(typeNumber(four(), '1', '0305'), '1');
    expect(numbers(goesOn(typeNumber(first, '3', '0306'), '3'))).toEqual(['0305', '0305', '0306', '0306']);
  });
  it('gives nothing on where there is none', () => {
    expect(numbers(goesOn(four(), '1'))).toEqual(['', '', '', '']);
  });
});

describe('viewsOf', () => {
  const finds: NumberedFind[] = [{ record: 'r5', number: 'W26-0305', name: 'Mycena', date: '2026-10-10', views: ['top'] }];
  it('goes round what the find has, what a name says and what was chosen', () => {
    const list = four().map((p) => ({ ...p, named: named('W26-0305', 'r5') })) as Loose[];
    list[1] = { ...list[1]!, named: { ...named('W26-0305', 'r5'), kind: 'side' } };
    list[3] = { ...list[3]!, chosen: 'cut' };
    expect([...viewsOf(list, finds)].sort()).toEqual([['1', 'side'], ['2', 'underneath'], ['3', 'surroundings'], ['4', 'cut']]);
  });
  it('says nothing of a photograph that goes nowhere', () => {
    expect(viewsOf(four(), finds).size).toBe(0);
    expect(byFind(four()).size).toBe(0);
  });
});
