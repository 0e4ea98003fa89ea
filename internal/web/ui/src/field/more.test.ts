import { describe, expect, it } from 'vitest';
import type { HeldKnown } from '../api/field';
import type { Choices } from '../api/types';
import { draftOfHeld, renamedIn, saidIn, withAnswer } from '../recorder/draft';
import type { PhoneRecord } from './keep';
import { messageOf } from './sender';
import { answeredHere, askedHere } from './more';

const choices = { form: [{ state: 'gilled', label: 'With gills' }, { state: 'cup', label: 'A cup' }], substrate: [], habit: [], ripeness: [], smell: [], sporePrint: [] } as unknown as Choices;
const known: HeldKnown = {
  group: 'With gills',
  asked: { answers: [{ character: 'form', states: ['gilled'] }, { character: 'season', states: ['autumn'] }, { character: 'ring', states: ['hanging'] }], views: ['top', 'side'], may: ['cut'] },
  answered: [{ character: 'ring', label: 'Ring on the stem', answer: 'hanging skirt', from: '', sizes: [] }],
};
const draft = draftOfHeld({ id: 'r', number: 'S26-0001', version: 3, editable: { found: { date: '2026-10-10' }, form: 'gilled', views: [{ photograph: 'p', kind: 'top' }, { photograph: 'q', kind: 'side' }] } });
const none = { given: { character: 'ring', states: ['none'] }, label: 'Ring on the stem', said: 'No ring' };
const volva = { given: { character: 'volva', states: ['sac'] }, label: 'Bag', said: 'A bag' };
const waits = (d = draft) => ({ draft: d, originals: [] });

describe('what is asked of a kept record out of reach', () => {
  it('goes by what was taken along, as it came', () => expect(askedHere(known, null, choices)).toBe(known.asked));
  it('knows what waits, in place of what stood', () => {
    const d = withAnswer(withAnswer({ ...draft, form: 'cup' }, none, true), volva, false);
    const asked = askedHere(known, { draft: d, originals: [{ kind: 'base' }] as never }, choices);
    expect(asked.answers).toEqual([{ character: 'season', states: ['autumn'] }, { character: 'form', states: ['cup'] }, { character: 'ring', states: ['none'] }, { character: 'volva', states: ['sac'] }]);
    expect([asked.views, asked.may]).toEqual([['top', 'side', 'base'], ['cut']]);
    expect(answeredHere(known, d).map((a) => [a.character, a.answer])).toEqual([['ring', 'No ring'], ['volva', 'A bag']]);
  });
  it.each([{ fieldName: 'Mycena' }, { found: { date: '2026-10-09' } }, { placeSaid: 'given' as const, place: { lat: 48, lon: 10, source: 'pin' as const } }])('allows nothing where %o was changed', (moved) =>
    expect(askedHere(known, waits({ ...draft, ...moved }), choices).may).toEqual([]));
});

describe('an answer given out of reach', () => {
  it('goes along with the differences of its record, and nothing else', () => expect(saidIn(withAnswer(draft, none, true))).toEqual({ answers: [none.given] }));
  it('takes the place of the one before', () => expect(withAnswer(withAnswer(draft, none, false), { ...none, given: { character: 'ring', states: ['zone'] } }, false).answers.map((a) => a.given)).toEqual([{ character: 'ring', states: ['zone'] }]));
  it('that only this phone had leaves nothing when it is taken back', () => {
    const back = { given: { character: 'volva' }, label: 'Bag', said: '' };
    expect(saidIn(withAnswer(withAnswer(draft, volva, false), back, false))).toEqual({});
  });
  it('that the server has is taken back there', () => {
    const back = { given: { character: 'ring' }, label: 'Ring', said: '' };
    const d = withAnswer(draft, back, true);
    expect(saidIn(d)).toEqual({ answers: [{ character: 'ring' }] });
    expect(answeredHere(known, d)).toEqual([]);
    expect(askedHere(known, waits(d), choices).answers).toContainEqual({ character: 'ring' });
  });
});

describe('a view that the server has', () => {
  const held = { id: 'r', number: 'S26-0001', version: 3, editable: { found: { date: '2026-10-10' }, views: [{ photograph: 'p', kind: 'top' as const, renamed: 2 }, { photograph: 'q', kind: 'side' as const }] } };
  const message = (d: ReturnType<typeof draftOfHeld>) => messageOf({ draft: d, originals: [], phone: 'f', number: 1, id: 'r', made: '' } as unknown as PhoneRecord, new Date(0));
  it('that is called as before is not told', () => expect('kinds' in message(draftOfHeld(held))).toBe(false));
  it('and is called another is a difference of its own, with what was seen', () => {
    const d = draftOfHeld(held);
    const changed = { ...d, photographs: [...d.photographs.map((p) => ({ ...p, kind: p.kind === 'top' ? ('side' as const) : ('base' as const) })), { id: 'n', fileName: '', kind: 'cut' as const, notes: [] }] };
    expect(renamedIn(changed)).toEqual([{ photograph: 'p', kind: 'side', seen: 2 }, { photograph: 'q', kind: 'base' }]);
    const m = message(JSON.parse(JSON.stringify(changed)) as typeof changed);
    expect([m.kinds, m.set, m.views]).toEqual([renamedIn(changed), {}, [{ handed: 'n', kind: 'cut' }]]);
  });
});
