import { describe, expect, it } from 'vitest';
import { chance, whyAsk, type ShownQuestion } from './key';

describe('chance', () => {
  it('never says that something is certain or impossible', () => {
    expect([chance(1), chance(0.995), chance(0.5), chance(0.004), chance(0)]).toEqual(['over 0.99', 'over 0.99', '0.50', 'under 0.01', 'under 0.01']);
  });
});

describe('whyAsk', () => {
  const q = (sets: number, remain: number) => ({ sets, remain }) as ShownQuestion;
  it('counts what the answer sets aside', () => expect(whyAsk(q(7, 9))).toBe('Sets aside about 7 of the 9 kinds that remain.'));
  it('claims nothing where nobody can say', () => expect([whyAsk(q(0, 9)), whyAsk(q(1, 1))]).toEqual(['', '']));
});
