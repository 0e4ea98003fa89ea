import { expect, it } from 'vitest';
import { counted, ordinal } from './counting';

it('writes English ordinals', () => {
  expect([1, 2, 3, 4, 11, 12, 13, 21, 22, 101, 111].map(ordinal)).toEqual([
    '1st',
    '2nd',
    '3rd',
    '4th',
    '11th',
    '12th',
    '13th',
    '21st',
    '22nd',
    '101st',
    '111th',
  ]);
});

it('knows one from many', () => {
  expect([0, 1, 9].map((n) => counted(n, 'find', 'finds'))).toEqual(['0 finds', '1 find', '9 finds']);
});
