import { describe, expect, it } from 'vitest';
import go from '../../../../../care.go?raw';
import { ruleWords, TELLINGS } from './care';

describe('care', () => {
  it('offers the rules that the server knows, in its order', () => {
    const named = [...go.matchAll(/Tell\w+ +Telling = "([^"]*)"/g)].map((m) => m[1] || 'area');
    expect(TELLINGS.map((t) => t.value)).toEqual(named);
  });
  it('tells a rule in a line', () => {
    const p = { id: 'x', name: 'A b', reason: 'r', category: 2, finds: 1 };
    expect(ruleWords(p)).toBe('Outsiders get area and month; nobody touches it. Category 2 high. 1 find bears it.');
    expect(ruleWords({ ...p, tells: 'nothing', touch: true, finds: 3 })).toBe('Outsiders learn nothing; touched as the site allows. Category 2 high. 3 finds bear it.');
  });
});
