import { expect, it } from 'vitest';
import { bounded } from './large';

it('keeps a picture in its frame', () => {
  expect(bounded({ x: 50, y: -50 }, 1, 400, 300)).toEqual({ x: 0, y: 0 });
  expect(bounded({ x: 999, y: -999 }, 3, 400, 300)).toEqual({ x: 400, y: -300 });
  expect(bounded({ x: 12, y: 13 }, 2, 400, 300)).toEqual({ x: 12, y: 13 });
});
