import { describe, expect, it } from 'vitest';
import { bytesWords, dateWords, dayWords, fourViews, orderOf, slipDate, views } from './words';

describe('days', () => {
  // 10 October 2026 is a Saturday (day 2461324 of the Julian count; that number modulo 7 is 5, Monday being 0).
  it('names the day of the week', () => expect(dayWords('2026-10-10')).toBe('Saturday 10 October'));
  it('is the same day in every zone', () => expect([dateWords('2026-01-01'), slipDate('2026-12-31')]).toEqual(['1 January 2026', '31 Dec 2026']));
  it('adds the year where it is another', () => expect(dayWords('2014-09-21', '2026-10-10')).toBe('Sunday 21 September 2014'));
  it('leaves what it cannot read', () => expect(dayWords('soon')).toBe('soon'));
});

describe('views', () => {
  it('stand in their fixed order with letters a to i', () => {
    expect(views.map((v) => v.letter).join('')).toBe('abcdefghi');
    expect(views.slice(0, 4).map((v) => v.kind)).toEqual(fourViews);
    expect(orderOf('spore print')).toBe(6);
  });
});

describe('what is asked where nobody may touch', () => {
  // What a hand does to a fruitbody. Only `doing` may say it, which a ruling opens.
  const does = /\b(pick|pull|cuts?|dig|lift|turn it|take it|break|slice|scrape|lay it|over night)\b/i;
  it.each(views.map((v) => [v.kind, [v.how, v.would, v.missing, ...(v.steps ?? []).flat()].filter((t) => t !== `${v.title}: not taken`)] as const))('%s', (_, texts) => {
    for (const t of texts) expect(t).not.toMatch(does);
  });
  it('is open for the four views without a ruling', () => {
    for (const v of views.filter((v) => fourViews.includes(v.kind))) expect(v.how).not.toBe('');
    expect(views.filter((v) => v.doing).map((v) => v.doing!.prompt)).toEqual(['pick', 'cut', 'dig', 'print']);
  });
});

describe('bytesWords', () => {
  it('rounds for people', () => expect([999, 840_400, 1_240_000, 124_000_000].map(bytesWords)).toEqual(['999 bytes', '840 kB', '1.2 MB', '124 MB']));
});
