/** Tests that tell one story: each step goes on where the one before ended. */
import { expect, test } from 'vitest';
import type { Person } from './person';

/** story returns how to tell the next step; after a step that failed, the rest fail at once and say so. */
export function story(people: () => Person[]): (name: string, tell: () => Promise<void>) => void {
  let broken = '';
  return (name, tell) =>
    test(name, async () => {
      if (broken !== '') throw new Error(`not told: the story broke off at “${broken}”`);
      try {
        await tell();
        expect(people().flatMap((p) => p.faults()), 'errors in the console or thrown in the page').toEqual([]);
      } catch (thrown) {
        broken = name;
        throw thrown;
      } finally {
        for (const p of people()) p.expects();
      }
    });
}
