import { describe, expect, test } from 'vitest';
import { readRoute } from '../router';
import { leadsTo, narrowed, readAudit, writeAudit } from './audit';

const none = { act: '', person: '', thing: '', from: '', until: '' };

describe('the audit', () => {
  test('a question goes into an address and comes back', () => {
    const asked = { what: 'changes' as const, act: 'sites', person: 'p', thing: 'S1', from: '2026-10-01', until: '2026-10-02' };
    expect(readAudit(new URLSearchParams(writeAudit(asked, '77')))).toEqual(asked);
    expect(writeAudit({ what: 'looks', ...none })).toBe('what=looks');
    expect(readAudit(new URLSearchParams('what=everything'))).toEqual({ what: 'looks', ...none });
    expect(narrowed({ what: 'looks', ...none })).toBe(false);
    expect(narrowed(asked)).toBe(true);
  });
  test('a line leads to a page that there is', () => {
    for (const kind of ['record', 'site', 'foray', 'person', 'name', 'deposit', 'season']) {
      const to = leadsTo({ kind, id: 'a/b', words: '' });
      expect(readRoute(new URL(to, 'http://trug.test')).page, `${kind}: ${to}`).not.toBe('nowhere');
    }
    expect(leadsTo({ kind: 'slip_range', id: 'x', words: '' })).toBe('');
    expect(leadsTo(undefined)).toBe('');
  });
});
