import { describe, expect, it } from 'vitest';
import type { RecordSheet } from '../api/types';
import { draftOf, dropDraft, editableOf, emptyDraft, isBegun, loadDraft, saveDraft, withCamera, type Draft, type Keep } from './draft';

function memory(): Keep & { map: Map<string, string> } {
  const map = new Map<string, string>();
  return { map, getItem: (k) => map.get(k) ?? null, setItem: (k, v) => void map.set(k, v), removeItem: (k) => void map.delete(k) };
}
const empty = () => emptyDraft('id', { date: '2026-10-10', time: '12:00' });
const camera = { lat: 48.5, lon: 10.1, uncertainty: 12, source: 'camera' as const };
const shot = (id: string, time: string, place = false) => ({ id, fileName: id, kind: 'top' as const, notes: [], taken: { date: '2026-10-09', time, offset: '+02:00' }, ...(place ? { place: camera } : {}) });

describe('keeping', () => {
  it('gives back what was kept, for that person and record alone', () => {
    const keep = memory();
    const d = { ...empty(), remarks: 'milk turns pink' };
    expect(saveDraft(keep, 'p', 'new', d)).toBe(true);
    expect(loadDraft(keep, 'p', 'new')).toEqual(d);
    expect([loadDraft(keep, 'q', 'new'), loadDraft(keep, 'p', 'other')]).toEqual([null, null]);
    dropDraft(keep, 'p', 'new');
    expect(loadDraft(keep, 'p', 'new')).toBeNull();
  });
  it('says so when the device keeps nothing', () => {
    const full: Keep = { ...memory(), setItem: () => { throw new Error('quota'); } };
    expect(saveDraft(full, 'p', 'new', empty())).toBe(false);
  });
  it.each(['', '{', 'null', '7', '{}', '{"id":"x"}', '{"id":1,"found":{},"photographs":[]}'])('takes %j for no draft', (text) => {
    const keep = memory();
    keep.map.set('trug.draft.p.new', text);
    expect(loadDraft(keep, 'p', 'new')).toBeNull();
  });
  it('fills in what an older draft lacks', () => {
    const keep = memory();
    keep.map.set('trug.draft.p.new', '{"id":"x","found":{"date":"2026-10-10"},"photographs":[]}');
    expect(loadDraft(keep, 'p', 'new')?.remarks).toBe('');
  });
  it('knows an empty draft from a begun one', () => {
    expect(isBegun(empty())).toBe(false);
    expect(isBegun({ ...empty(), numberSeen: 1 })).toBe(true);
  });
});

describe('a record that is changed', () => {
  const editable = { found: { date: '2026-10-09' }, place: camera, fieldName: 'Amanita', form: 'gilled', views: [{ photograph: 'p1', kind: 'side' as const }] };
  const opened = () => draftOf({ id: 'r', number: 'W26-0218', version: 3, editable, views: [{ id: 'v', kind: 'side', photograph: 'p1' }] } as unknown as RecordSheet)!;
  it('is not begun by looking at it: what others change of it meanwhile is seen the next time', () => expect(isBegun(opened())).toBe(false));
  it.each<[string, (d: Draft) => Partial<Draft>]>([
    ['something is said', () => ({ smell: 'mealy' })],
    ['something is blanked', () => ({ fieldName: '' })],
    ['a photograph is on its way', () => ({ coming: 1 })],
    ['a photograph has come', (d) => ({ photographs: [...d.photographs, shot('b', '11:36')] })],
    ['a view is called another', (d) => ({ photographs: d.photographs.map((p) => ({ ...p, kind: 'top' as const })) })],
  ])('is begun once %s', (_, change) => expect(isBegun({ ...opened(), ...change(opened()) })).toBe(true));
});

describe('withCamera', () => {
  it('takes the earliest day and time, and the place', () => {
    const d = withCamera({ ...empty(), photographs: [shot('b', '11:36', true), shot('a', '11:34')] });
    expect([d.found, d.foundFrom, d.place, d.placeSaid]).toEqual([{ date: '2026-10-09', time: '11:34', offset: '+02:00' }, 'camera', camera, 'camera']);
  });
  it('does not overrule the recorder', () => {
    const given: Draft = { ...empty(), foundFrom: 'given', placeSaid: 'unknown', photographs: [shot('a', '11:34', true)] };
    expect(withCamera(given)).toEqual(given);
  });
});

describe('what the server is sent', () => {
  it('sends no place while it is not known', () => expect(editableOf({ ...empty(), place: camera, placeSaid: 'unknown' }).place).toBeUndefined());
  it('sends no offset beside a day without time', () => expect(editableOf({ ...empty(), found: { date: '2026-10-10', offset: '+02:00' } }).found).toEqual({ date: '2026-10-10' }));
  it('comes back unchanged from a record that was not changed', () => {
    const editable = {
      found: { date: '2026-10-09', time: '14:17' }, place: camera, fieldName: 'Galerina marginata', namedBy: 'B', form: 'gilled', substrate: 'stump',
      host: 'Picea', habit: 'clustered', ripeness: 'old', smell: 'mealy', sporePrint: 'rust', numberSeen: 8, remarks: 'tuft', views: [{ photograph: 'p1', kind: 'side' as const }],
    };
    const sheet = { id: 'r', number: 'W26-0218', editable, views: [{ id: 'v', kind: 'side', photograph: 'p1' }] } as unknown as RecordSheet;
    expect(editableOf(draftOf(sheet)!)).toMatchObject(editable);
  });
  it('is nothing for a record that may not be changed', () => expect(draftOf({ views: [] } as unknown as RecordSheet)).toBeNull());
});
