import { expect, test } from 'vitest';
import { momentWords } from './when';

test('near moments have a time, far ones a year', () => {
  const now = new Date('2026-10-10T12:00:00');
  expect(momentWords('2026-10-09T09:05:00', now)).toBe('9 October, 09:05');
  expect(momentWords('2026-08-09T09:05:00', now)).toBe('9 August');
  expect(momentWords('2025-08-09T09:05:00', now)).toBe('9 August 2025');
  expect(momentWords('never', now)).toBe('not known');
});
