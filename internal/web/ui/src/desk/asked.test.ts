import { describe, expect, it } from 'vitest';
import { readAsked, writeAsked } from './list';

describe('the query of a list in an address', () => {
  it.each([
    ['', ''], ['text=hob%20ash', '?text=hob+ash'], ['text=&only=notes&from=0', '?only=notes'], ['sort=-name&from=120', '?sort=-name&from=100'],
    ['from=-50', ''], ['from=half', ''], ['from=Infinity', ''],
  ])('%s is %s', (address, want) => expect(writeAsked(readAsked(new URLSearchParams(address)))).toBe(want));
  it('goes to the server with how many lines are wanted', () => {
    expect(writeAsked({ text: '', only: '', sort: '', from: 50 }, 50)).toBe('?from=50&limit=50');
  });
});
