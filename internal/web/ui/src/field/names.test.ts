import { expect, test } from 'vitest';
import { begins, mostNames } from './names';

const list = ['Amanita citrina', 'Amanita muscaria', 'Laccaria', 'Laccaria amethystina', 'Mycena pura'].map((name) => ({ name }));
const names = (typed: string) => begins(list, typed).names.map((n) => n.name);

test('completes by letters alone, in the order of the alphabet', () => {
  expect(names('ama')).toEqual(['Amanita citrina', 'Amanita muscaria']);
  expect(names('  LACC')).toEqual(['Laccaria', 'Laccaria amethystina']);
  expect(names('amethys')).toEqual(['Laccaria amethystina']);
  expect(names('lac am')).toEqual(['Laccaria amethystina']);
  expect(names('laccaria')).toEqual(['Laccaria amethystina']);
});

test('offers nothing for a letter or two, for a whole name, and for what no name begins with', () => {
  for (const typed of ['', 'am', 'Mycena pura', 'penny bun', 'itrina']) expect(names(typed), typed).toEqual([]);
});

test('of many it shows a few and counts the others', () => {
  const many = Array.from({ length: 20 }, (_, i) => ({ name: `Mycena ${String.fromCharCode(97 + i)}` }));
  const got = begins(many, 'myc');
  expect([got.names.length, got.more]).toEqual([mostNames, 20 - mostNames]);
});
