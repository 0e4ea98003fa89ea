/** Tests that tell one story: each step goes on where the one before ended. */
import { expect, test } from 'vitest';
import type { Person } from './person';

/** story returns how to tell the next step. After a step that failed the rest is not told. */
export function story(people: () => Person[]): (name: string, tell: () => Promise<void>) => void {
  let broken = '';
  return (name, tell) =>
    test(name, async ({ skip }) => {
      skip(broken !== '', `the story broke off at “${broken}”`);
      broken = name;
      await tell();
      expect(people().flatMap((p) => p.faults()), 'errors in the console, or thrown in the page').toEqual([]);
      for (const p of people()) p.expects();
      broken = '';
    });
}
