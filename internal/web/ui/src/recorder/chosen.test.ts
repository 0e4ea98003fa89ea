import { expect, test } from 'vitest';
import { likeAScreenshot, refusedAtOnce, tooManySays } from './chosen';

const file = (name: string, type: string, size = 9) => ({ name, type, size });

test('what is no photograph is refused in plain words, before it takes up anything', () => {
  expect(refusedAtOnce(file('IMG_1.jpg', 'image/jpeg'))).toBe('');
  expect(refusedAtOnce(file('IMG_1.HEIC', ''))).toBe(''); // some phones name no type
  expect(refusedAtOnce(file('IMG_1.jpg', 'image/jpeg', 0))).toContain('empty');
  expect(refusedAtOnce(file('VID_1.mp4', 'video/mp4'))).toContain('film');
  expect(refusedAtOnce(file('list.pdf', 'application/pdf'))).toContain('no photograph');
});

test('a picture of a screen is remarked on, and no photograph is taken for one', () => {
  expect([likeAScreenshot(file('Screenshot_20261010-101500.jpg', 'image/jpeg')), likeAScreenshot(file('a.png', 'image/png'))]).toEqual([true, true]);
  expect(['IMG_20261010_101500.jpg', 'PXL_1.jpg', 'DSC0001.JPG', 'underscreen.jpg'].map((n) => likeAScreenshot(file(n, 'image/jpeg')))).toEqual([false, false, false, false]);
});

test('how many are left is a whole sentence', () => {
  expect(tooManySays(1)).toContain('one was not taken');
  expect(tooManySays(7)).toContain('7 were not taken');
});
