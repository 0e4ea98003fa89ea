/** A record being filled in: its photographs as they come, are called another view, and are taken out. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { EditablePlace, EditableRecord } from '../api/types';
import { draftOfHeld, emptyDraft } from './draft';
import { RecordForm } from './record-form.svelte';

let answers: Map<string, () => void>;
let shown: Map<string, object>;
const urls = new Set<string>();

beforeEach(() => {
  answers = new Map();
  shown = new Map();
  urls.clear();
  let n = 0;
  vi.stubGlobal('URL', Object.assign(URL, { createObjectURL: () => { urls.add(`blob:${++n}`); return `blob:${n}`; }, revokeObjectURL: (u: string) => urls.delete(u) }));
  vi.stubGlobal('fetch', (path: string) => new Promise<Response>((done) => {
    const name = decodeURIComponent(path.split('name=')[1] ?? '');
    answers.set(name, () => done(Response.json({ id: `p-${name}`, fileName: name, ...shown.get(name) })));
  }));
});
afterEach(() => vi.unstubAllGlobals());

const file = (name: string) => new File(['x'], name);
const formOf = () => new RecordForm(emptyDraft('r', { date: '2026-10-10' }), 'me', 'new');
async function comes(f: RecordForm, name: string): Promise<void> {
  await vi.waitFor(() => expect(answers.has(name)).toBe(true));
  answers.get(name)!();
  await vi.waitFor(() => expect(f.draft.photographs.some((p) => p.id === `p-${name}`)).toBe(true));
}
const drafts = (f: RecordForm) => Object.fromEntries(f.draft.photographs.map((p) => [p.id, p.kind]));
const looks = (f: RecordForm) => Object.fromEntries(f.looks.list.map((l) => [l.shown || 'on its way', l.kind]));

test('whichever comes first, the page, the looks and the guess call it the same', async () => {
  const f = formOf();
  f.handing.add(['1', '2', '3'].map(file), 'top', true);
  await comes(f, '2');
  expect(drafts(f)).toEqual({ 'p-2': 'side' });
  await comes(f, '1');
  await comes(f, '3');
  expect(drafts(f)).toEqual({ 'p-1': 'top', 'p-2': 'side', 'p-3': 'underneath' });
  expect([Object.fromEntries(f.kinds), looks(f)]).toEqual([drafts(f), drafts(f)]);
});

test('what was put right or taken out changes nothing of the others, and all still call them the same', async () => {
  const f = formOf();
  f.handing.add(['1', '2', '3'].map(file), 'top', true);
  for (const name of ['1', '2', '3']) await comes(f, name);
  f.is('p-1', 'cut', f.draft.photographs);
  expect(drafts(f)).toEqual({ 'p-1': 'cut', 'p-2': 'side', 'p-3': 'underneath' });
  expect([Object.fromEntries(f.kinds), looks(f)]).toEqual([drafts(f), drafts(f)]);
  f.takeOut('p-2');
  expect([Object.fromEntries(f.kinds), looks(f)]).toEqual([{ 'p-1': 'cut', 'p-3': 'underneath' }, { 'p-1': 'cut', 'p-3': 'underneath' }]);
});

test('where the phone was stays when a photograph is taken again; what a photograph told goes with it', async () => {
  const here: EditablePlace = { lat: 48.5, lon: 10.1, uncertainty: 12, source: 'phone' };
  const f = formOf();
  vi.stubGlobal('navigator', { geolocation: { getCurrentPosition: (done: (p: object) => void) => done({ coords: { latitude: 48.5, longitude: 10.1, accuracy: 6 } }) } });
  f.handing.add([file('1')], 'top', false);
  await comes(f, '1');
  await f.standHere();
  f.takeOut('p-1');
  expect([f.draft.place, f.draft.placeSaid]).toEqual([here, 'camera']);
  const g = formOf();
  shown.set('2', { place: { ...here, source: 'camera' } });
  g.handing.add([file('2')], 'top', false);
  await comes(g, '2');
  expect(g.draft.place?.source).toBe('camera');
  g.takeOut('p-2');
  expect([g.draft.place, g.draft.placeSaid]).toEqual([null, 'no']);
});

test('a page that is left holds no picture any more', async () => {
  const f = formOf();
  f.handing.add(['1', '2', '3'].map(file), 'top', true);
  await comes(f, '1');
  expect(urls.size).toBeGreaterThan(3);
  f.close();
  expect(urls.size).toBe(0);
});

test('where the phone is, told late, does not stand in place of what was said meanwhile', async () => {
  let tells: (p: object) => void = () => undefined;
  vi.stubGlobal('navigator', { geolocation: { getCurrentPosition: (done: (p: object) => void) => (tells = done) } });
  const here = { coords: { latitude: 48.5, longitude: 10.1, accuracy: 6 } };
  const f = formOf();
  let asked = f.useHere();
  const pin: EditablePlace = { lat: 48.6, lon: 10.2, uncertainty: 5, source: 'pin' };
  Object.assign(f.draft, { place: pin, placeSaid: 'given' });
  tells(here);
  await asked;
  expect(f.draft.place).toEqual(pin);
  asked = f.useHere();
  tells(here);
  await asked;
  expect([f.draft.place?.source, f.draft.placeSaid]).toEqual(['phone', 'given']);
});

test('a change of a record that somebody else has changed meanwhile displaces nobody’s word: it goes by a message', async () => {
  const asked: string[] = [];
  let version = 4;
  let renamed = 0;
  vi.stubGlobal('fetch', async (path: string, init: RequestInit) => {
    asked.push(`${init.method} ${path}`);
    return Response.json({ id: 'r', version, views: [], editable: { views: [{ photograph: 'p', kind: 'top', renamed }] }, season: { code: 'S26' } });
  });
  const seen = () => draftOfHeld({ id: 'r', number: 'S26-0001', version: 3, editable: { found: { date: '2026-10-10' }, views: [{ photograph: 'p', kind: 'top' }] } as unknown as EditableRecord });
  const f = new RecordForm(seen(), 'me', 'r');
  const kept = vi.spyOn(f, 'keepHere').mockResolvedValue(true);
  expect(await f.save()).toBe(true);
  expect([asked, kept.mock.calls.length]).toEqual([['GET /api/records/r'], 1]);
  // A view called another one there is a change as well.
  [version, renamed] = [3, 1];
  const e = new RecordForm(seen(), 'me', 'r');
  const called = vi.spyOn(e, 'keepHere').mockResolvedValue(true);
  expect([await e.save(), called.mock.calls.length]).toEqual([true, 1]);
  renamed = 0;
  asked.length = 1;
  const g = new RecordForm(seen(), 'me', 'r');
  vi.stubGlobal('localStorage', { removeItem: () => undefined });
  expect(await g.save()).toBe(true);
  expect([asked.slice(1, 3), g.kept?.id]).toEqual([['GET /api/records/r', 'PUT /api/records/r'], 'r']);
});
