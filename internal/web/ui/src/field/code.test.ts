import { afterEach, expect, test, vi } from 'vitest';
import { exchange, fits, meOf, take } from './code';
import { takingOf, type KeptCode } from './keep';

const kept: KeptCode = { code: 'abcd 2345', name: 'Siskin', person: 'p', season: 'S26', says: '' };
afterEach(() => vi.unstubAllGlobals());

test('a code is eight letters and figures, however they are parted', () => {
  expect(['ABCD2345', 'abcd-2345', ' abcd 2345 '].map(fits)).toEqual([true, true, true]);
  expect(['', 'ABCD234', 'ABCD23456', 'ABCD234!'].map(fits)).toEqual([false, false, false, false]);
});

test('until it is exchanged, its person has the Daybook and nothing of the season', () => expect(meOf(kept)).toMatchObject({ id: 'p', name: 'Siskin', places: ['daybook'], roles: ['recorder'] }));

test('a taking keeps its identifier until its person is in, and the next one is another; it goes with the code', async () => {
  const sent: unknown[] = [];
  vi.stubGlobal('fetch', async (_: string, init: RequestInit) => {
    sent.push(JSON.parse(init.body as string));
    throw new TypeError('the answer is lost');
  });
  const tries = async (name: string, fresh: string) => take('abcd2345', name, await takingOf('abcd2345', name, fresh));
  await expect(tries('Siskin', 'a')).rejects.toThrow();
  await expect(tries('Siskin', 'b')).rejects.toThrow();
  vi.stubGlobal('fetch', async (_: string, init: RequestInit) => {
    sent.push(JSON.parse(init.body as string));
    return Response.json({});
  });
  await tries('Siskin', 'c');
  await tries('Siskin', 'd'); // another of the family, called the same
  await tries('Wren', 'e');
  expect(sent.map((x) => (x as { taking: string }).taking)).toEqual(['a', 'a', 'a', 'd', 'e']);
});

test('whom the code let in a moment ago is let in again where the browser forgot it, and nobody after that', async () => {
  const held = new Map<string, unknown>();
  vi.doMock('./keep', async (real) => ({ ...(await real<object>()), keepTaking: async (x: unknown) => void held.set('taking', x), takingHere: async () => held.get('taking') ?? null, dropTaking: async () => void held.delete('taking') }));
  vi.resetModules();
  const anew = await import('./code');
  const sent: unknown[] = [];
  const answer = (status: number) => vi.stubGlobal('fetch', async (_: string, init: RequestInit) => {
    sent.push(JSON.parse(init.body as string));
    return Response.json({ says: 'No.' }, { status });
  });
  expect(await anew.comeBack(false)).toBe(false); // nobody took a code here
  answer(200);
  await anew.take('abcd2345', 'Siskin', 'a');
  answer(503);
  expect([await anew.comeBack(true), await anew.comeBack(false)]).toEqual([false, false]);
  answer(200);
  expect(await anew.comeBack(false)).toBe(true);
  expect(new Set(sent.map((x) => JSON.stringify(x)))).toEqual(new Set(['{"code":"abcd2345","name":"Siskin","taking":"a"}', '{"code":"abcd2345","name":"Siskin","taking":"a","back":true}']));
  held.set('taking', { ...(held.get('taking') as object), came: Date.now() - 10 * 60_000 });
  expect(await anew.comeBack(true)).toBe(false); // the browser has kept by now that they are in
  expect(held.size).toBe(0);
  await anew.take('abcd2345', 'Siskin', 'b');
  answer(403);
  expect(await anew.comeBack(false)).toBe(false);
  expect(held.size).toBe(0); // closed meanwhile: not asked again and again
  vi.doUnmock('./keep');
});

test('it is exchanged where the server takes it, and stays where it does not, or is away', async () => {
  const asked: unknown[] = [];
  const answer = (status: number, body: object) => vi.stubGlobal('fetch', async (path: string, init: RequestInit) => {
    asked.push([path, JSON.parse(init.body as string)]);
    return Response.json(body, { status });
  });
  answer(200, { name: 'Siskin' });
  expect(await exchange(kept)).toBe(true);
  expect(asked).toEqual([['/api/come-in/field-code', { code: 'abcd 2345', name: 'Siskin', taking: 'p' }]]);
  answer(422, { says: 'That is no field code.' });
  expect(await exchange(kept)).toBe(false);
  vi.stubGlobal('fetch', async () => { throw new TypeError('cut'); });
  expect(await exchange(kept)).toBe(false);
});

test('what was kept under the code becomes the person’s, the draft too; where something could not be given the code stays', async () => {
  const phone = { records: [{ id: 'r', person: 'p' }], files: [{ id: 'f', person: 'p' }, { id: 'g', person: 'q' }], code: 1, full: true };
  vi.doMock('./keep', async (real) => ({ ...(await real<object>()), onPhone: { records: async () => phone.records }, putRecord: async (r: { id: string; person: string }) => void (phone.records = [r]), dropCode: async () => void (phone.code = 0) }));
  vi.doMock('../recorder/waiting', () => ({ allWaiting: async () => phone.files, keepWaiting: async (f: { id: string; person: string }) => (phone.full ? 'full' : ((phone.files = phone.files.map((x) => (x.id === f.id ? f : x))), 'kept')) }));
  vi.resetModules();
  const { settle } = await import('./code');
  const { begunDraft } = await import('../recorder/begin');
  const { emptyDraft, loadDraft, saveDraft } = await import('../recorder/draft');
  const text = new Map<string, string>();
  const keep = { getItem: (k: string) => text.get(k) ?? null, setItem: (k: string, v: string) => void text.set(k, v), removeItem: (k: string) => void text.delete(k) };
  const draft = (id: string) => ({ ...emptyDraft(id, { date: '2026-10-10' }), remarks: id });
  const me = { ...meOf(kept), id: 'me' };
  saveDraft(keep, 'p', 'new', draft('under the code'));
  saveDraft(keep, 'me', 'new', draft('begun before'));
  await expect(settle(kept, me, keep)).rejects.toThrow();
  expect([phone.code, loadDraft(keep, 'p', 'new')?.id]).toEqual([1, 'under the code']);
  phone.full = false;
  await settle(kept, me, keep);
  expect([phone.code, phone.records[0]!.person, phone.files.map((f) => f.person), loadDraft(keep, 'p', 'new')]).toEqual([0, 'me', ['me', 'q'], null]);
  expect(begunDraft('me', keep)?.remarks).toBe('begun before');
  keep.removeItem('trug.draft.me.new');
  expect([begunDraft('me', keep)?.remarks, begunDraft('me', keep)?.remarks, [...text.keys()]]).toEqual(['under the code', 'under the code', ['trug.draft.me.new']]);
  vi.doUnmock('./keep');
  vi.doUnmock('../recorder/waiting');
});
