import { expect, it } from 'vitest';
import { dropForm, keepForm, keptForm } from './kept';

function shelf() {
  const held = new Map<string, string>();
  return { held, getItem: (k: string) => held.get(k) ?? null, setItem: (k: string, v: string) => void held.set(k, v), removeItem: (k: string) => void held.delete(k) };
}
const blank = { name: '', rings: [] as number[][], drawn: true };

it('gives back what was entered, to the same person and for the same thing', () => {
  const s = shelf();
  keepForm(s, 'p1', 'site.1', { name: 'Hanger', rings: [[1, 2]], drawn: false });
  expect(keptForm(s, 'p1', 'site.1', blank)).toEqual({ name: 'Hanger', rings: [[1, 2]], drawn: false });
  expect(keptForm(s, 'p2', 'site.1', blank)).toBeNull();
  expect(keptForm(s, 'p1', 'site.2', blank)).toBeNull();
  dropForm(s, 'p1', 'site.1');
  expect(keptForm(s, 'p1', 'site.1', blank)).toBeNull();
});
it('fills in what an older form lacked and leaves out what is of another sort', () => {
  const s = shelf();
  keepForm(s, 'p', 'x', { name: 3, rings: 'no', drawn: false, more: 1 });
  expect(keptForm(s, 'p', 'x', blank)).toEqual({ name: '', rings: [], drawn: false });
});
it('bears a device that keeps nothing, and spoiled text', () => {
  const shut = { getItem: () => { throw new Error('shut'); }, setItem: () => { throw new Error('full'); }, removeItem: () => { throw new Error('shut'); } };
  keepForm(shut, 'p', 'x', {});
  dropForm(shut, 'p', 'x');
  expect(keptForm(shut, 'p', 'x', blank)).toBeNull();
  const s = shelf();
  s.setItem('trug.desk.p.x', '{oh');
  expect(keptForm(s, 'p', 'x', blank)).toBeNull();
});
