/** The sender against a server that fails, forgets and repeats itself: everything arrives, once, and nothing goes from the phone before it has. */
import { expect, test } from 'vitest';
import { draftOfHeld, emptyDraft } from '../recorder/draft';
import { uuidv7 } from '../uuidv7';
import { fullWords, sha256, type Keeper, type PhoneRecord, type Told } from './keep';
import { messageOf, nextTry, pieceBytes, sendAll, Stopped, thereOf, type PutOff, type World } from './sender';

/** A server that speaks as ours does, and fails as often as it is told. */
class Server {
  uploads = new Map<string, { hash: string; length: number; bytes: Uint8Array[] }>();
  whole = new Set<string>();
  records = new Map<string, string[]>();
  messages = new Set<string>();
  constructor(private readonly fails: () => boolean) {}
  private size = (u: { bytes: Uint8Array[] }) => u.bytes.reduce((n, b) => n + b.length, 0);

  fetch = async (path: string, init: RequestInit): Promise<Response> => {
    if (this.fails()) throw new TypeError('cut before');
    const answer = await this.answer(path, init);
    if (this.fails()) throw new TypeError('cut after'); // done there, and not told here
    return answer;
  };
  private async answer(path: string, init: RequestInit): Promise<Response> {
    const head = new Headers(init.headers);
    if (path === '/api/field/uploads') {
      const told = Object.fromEntries(head.get('Upload-Metadata')!.split(',').map((p) => [p.split(' ')[0], atob(p.split(' ')[1]!)]));
      const id = `${this.uploads.size}`;
      this.uploads.set(id, { hash: told.sha256!, length: Number(head.get('Upload-Length')), bytes: [] });
      return new Response(null, { status: 201, headers: { Location: `/api/field/uploads/${id}` } });
    }
    if (path === '/api/field/messages') {
      const [m] = (JSON.parse(init.body as string) as { messages: { phone: string; number: number; record: string; views: { photograph: string }[] }[] }).messages;
      const hashes = m!.views.map((v) => v.photograph);
      const missing = hashes.filter((h) => !this.whole.has(h));
      if (missing.length > 0) return Response.json([{ ...m, state: 'missing', missing, kept: [], lost: [], faults: [] }]);
      const key = `${m!.phone} ${m!.number}`;
      if (!this.messages.has(key)) this.records.set(m!.record, [...(this.records.get(m!.record) ?? []), ...hashes]);
      this.messages.add(key);
      return Response.json([{ ...m, state: 'taken', kept: hashes, missing: [], lost: [], faults: [] }]);
    }
    const u = this.uploads.get(path.split('/').pop()!);
    if (!u) return new Response(null, { status: 404 });
    if (init.method === 'HEAD') return new Response(null, { status: 200, headers: { 'Upload-Offset': String(this.size(u)) } });
    if (head.get('Upload-Offset') !== String(this.size(u))) return new Response(null, { status: 409 });
    u.bytes.push(new Uint8Array(await (init.body as Blob).arrayBuffer()));
    if (this.size(u) === u.length && (await sha256(new Blob(u.bytes as BlobPart[]))) === u.hash) this.whole.add(u.hash);
    return new Response(null, { status: 204, headers: { 'Upload-Offset': String(this.size(u)) } });
  }
}

async function phone(n: number): Promise<{ world: (s: Server) => World; kept: Map<string, PhoneRecord>; files: Map<string, Blob>; told: Told[] }> {
  const told: Told[] = [];
  const kept = new Map<string, PhoneRecord>();
  const files = new Map<string, Blob>();
  for (let i = 1; i <= n; i++) {
    const id = uuidv7();
    const originals = [];
    for (const kind of ['top', 'side'] as const) {
      const bytes = new Blob([crypto.getRandomValues(new Uint8Array(60_000)), new Uint8Array(pieceBytes)]);
      const file = uuidv7();
      files.set(file, bytes);
      originals.push({ id: file, hash: await sha256(bytes), kind, name: `${kind}.jpg`, size: bytes.size, upload: '', arrived: false });
    }
    kept.set(id, { id, person: 'p', personName: 'Wren', season: 'W26', phone: 'f', number: i, made: '', draft: emptyDraft(id, { date: '2026-10-10' }), originals, state: 'waits', says: '' });
  }
  const keep: Keeper = {
    records: async () => structuredClone([...kept.values()]),
    note: async (r) => void (kept.get(r.id)?.number === r.number && kept.set(r.id, structuredClone(r))),
    drop: async (r) => kept.get(r.id)?.number === r.number && kept.delete(r.id),
    tell: async (t) => void told.push(t),
  };
  const world = (s: Server): World => ({
    keep,
    fetch: s.fetch,
    bytes: async (_, id) => files.get(id),
    forget: async (id) => {
      // The one thing that must never happen: gone here and not there.
      expect(s.whole.has(await sha256(files.get(id)!))).toBe(true);
      files.delete(id);
    },
    now: () => new Date(),
  });
  return { world, kept, files, told };
}

test('with every fifth request cut, everything arrives once', async () => {
  let seed = 42;
  const random = () => (seed = (seed * 1103515245 + 12345) % 2 ** 31) / 2 ** 31;
  const p = await phone(6);
  const wanted = new Map([...p.kept.values()].map((r) => [r.id, r.originals.map((o) => o.hash)]));
  const server = new Server(() => random() < 0.2);
  let cuts = 0;
  for (let turn = 0; turn < 400 && p.kept.size > 0; turn++) {
    await sendAll(p.world(server), 'p', 'W26').catch((thrown: unknown) => {
      expect(thrown).toBeInstanceOf(Stopped);
      cuts++;
    });
  }
  expect(cuts).toBeGreaterThan(5);
  expect(p.kept.size).toBe(0);
  expect(p.files.size).toBe(0);
  expect(server.records).toEqual(wanted);
}, 60_000);

test('a server that forgot what came begins again; another person sends nothing', async () => {
  const p = await phone(1);
  const server = new Server(() => false);
  expect(await sendAll(p.world(server), 'somebody', 'W26')).toBe(0);
  expect(await sendAll(p.world(server), 'p', 'W27')).toBe(0);
  expect(p.kept.size).toBe(1);
  const r = [...p.kept.values()][0]!;
  r.originals[0]!.upload = '/api/field/uploads/gone';
  expect(await sendAll(p.world(server), 'p', 'W26')).toBe(1);
  expect(p.kept.size).toBe(0);
});

test('what was changed at the desk meanwhile is told, and the record has arrived all the same', async () => {
  const p = await phone(1);
  const server = new Server(() => false);
  const fetch = async (path: string, init: RequestInit): Promise<Response> => {
    const answer = await server.fetch(path, init);
    if (!path.endsWith('/messages')) return answer;
    const [told] = (await answer.json()) as { state: string }[];
    return Response.json([{ ...told, ...(told!.state === 'taken' ? { fieldNumber: 'W26-0001', lost: [{ field: 'smell', why: 'changed meanwhile' }] } : {}) }]);
  };
  const id = [...p.kept.keys()][0]!;
  expect(await sendAll({ ...p.world(server), fetch }, 'p', 'W26')).toBe(1);
  expect(p.told).toEqual([{ record: id, number: 'W26-0001', fields: ['smell'] }]);
});

test('a record that an older app kept is sent', async () => {
  const p = await phone(1);
  const [id, r] = [...p.kept][0]!;
  const { coming: _, ...draft } = r.draft;
  p.kept.set(id, { ...r, draft: draft as PhoneRecord['draft'], originals: r.originals.map(({ handed: __, ...o }) => o) });
  expect(await sendAll(p.world(new Server(() => false)), 'p', 'W26')).toBe(1);
  expect([p.kept.size, p.files.size]).toEqual([0, 0]);
});

test('a record that the server puts off holds up none behind it, and is come back to after longer and longer', async () => {
  const p = await phone(8);
  const server = new Server(() => false);
  const [stuck, broken] = [...p.kept.keys()]; // the first two
  let clock = 0;
  let asked: string[] = [];
  let well = false;
  const w: World = { ...p.world(server), now: () => new Date(clock), fetch: async (path, init) => {
    if (!path.endsWith('/messages')) return server.fetch(path, init);
    const [m] = (JSON.parse(init.body as string) as { messages: { record: string }[] }).messages;
    asked.push(m!.record);
    if (m!.record === stuck && !well) return Response.json([{ ...m, state: 'later', says: 'Send it again in a moment.', missing: [], kept: [], lost: [], faults: [] }]);
    if (m!.record === broken && !well) return new Response(null, { status: 500 });
    return server.fetch(path, init);
  } };
  const off: PutOff = new Map();
  const waiting = () => [...p.kept.values()];
  await expect(sendAll(w, 'p', 'W26', off)).rejects.toMatchObject({ why: 'later', says: 'Send it again in a moment.' });
  expect([...p.kept.keys()]).toEqual([stuck, broken]);
  // Not due yet, they are not asked; then each time after longer.
  const waits: number[] = [];
  for (let i = 0; i < 9; i++) {
    asked = [];
    expect(await sendAll(w, 'p', 'W26', off)).toBe(0);
    expect(asked).toEqual([]);
    const next = nextTry(waiting(), off, w.now())!;
    waits.push(next / 1000);
    clock += next;
    await expect(sendAll(w, 'p', 'W26', off)).rejects.toMatchObject({ why: 'later' });
    expect(asked).toEqual([stuck, broken]);
  }
  expect(waits).toEqual([15, 30, 60, 120, 240, 480, 900, 900, 900]);
  well = true;
  clock += 900_000;
  expect(await sendAll(w, 'p', 'W26', off)).toBe(2);
  expect([p.kept.size, p.files.size, off.size, nextTry(waiting(), off, w.now())]).toEqual([0, 0, 0, undefined]);
});

test('a server that puts all off is asked three times and then let be; the others are first the next time', async () => {
  const p = await phone(5);
  const asked: string[] = [];
  const w: World = { ...p.world(new Server(() => false)), now: () => new Date(0), fetch: async (_, init) => {
    asked.push((JSON.parse(init.body as string) as { messages: { record: string }[] }).messages[0]!.record);
    return new Response(null, { status: 503 });
  } };
  const off: PutOff = new Map();
  await expect(sendAll(w, 'p', 'W26', off)).rejects.toMatchObject({ why: 'later' });
  await expect(sendAll(w, 'p', 'W26', off)).rejects.toMatchObject({ why: 'later' });
  expect(asked).toEqual([...p.kept.keys()]);
  expect(p.files.size).toBe(10);
});

test('of a record that the server has, what was changed is told, with the version that was seen; what is said anew while it is sent stays and follows', async () => {
  const p = await phone(1);
  const [id, r] = [...p.kept][0]!;
  const was = draftOfHeld({ id, number: 'W26-0007', version: 3, editable: { found: { date: '2026-10-10', time: '11:34' }, host: 'oak', smell: 'of flour', remarks: 'by the path', views: [{ photograph: 'h1', kind: 'top' }] } });
  const changed = { ...r, draft: { ...was, host: 'beech', smell: '' } };
  p.kept.set(id, changed);
  expect(messageOf(changed, new Date())).toMatchObject({ seen: 3, set: { host: 'beech', smell: null }, views: r.originals.map((o) => ({ photograph: o.hash })) });
  expect(Object.keys(messageOf(changed, new Date()).set as object)).toEqual(['host', 'smell']);
  const server = new Server(() => false);
  let said = false;
  const w: World = { ...p.world(server), fetch: async (path, init) => {
    const answer = await server.fetch(path, init);
    if (!said && path.endsWith('/messages')) {
      said = true;
      p.kept.set(id, { ...changed, number: 2, draft: { ...changed.draft, host: 'hornbeam' } });
    }
    return answer;
  } };
  await sendAll(w, 'p', 'W26');
  expect([p.kept.get(id)?.draft.host, p.files.size]).toEqual(['hornbeam', 2]); // nothing of the later one went with the earlier
  await sendAll(w, 'p', 'W26');
  expect([p.kept.size, p.files.size, server.messages.size]).toEqual([0, 0, 2]);
});

test('a half-sent photograph goes on from where it was', async () => {
  const p = await phone(1);
  let pieces = 0;
  const server = new Server(() => false);
  const w = p.world(server);
  const broken = { ...w, fetch: async (path: string, init: RequestInit) => {
    if (init.method === 'PATCH' && ++pieces === 2) throw new TypeError('cut');
    return server.fetch(path, init);
  } };
  await expect(sendAll(broken, 'p', 'W26')).rejects.toMatchObject({ why: 'out of reach' });
  const offsets: string[] = [];
  await sendAll({ ...w, fetch: async (path, init) => {
    if (init.method === 'PATCH') offsets.push(new Headers(init.headers).get('Upload-Offset')!);
    return server.fetch(path, init);
  } }, 'p', 'W26');
  expect(offsets[0]).toBe(String(pieceBytes)); // not from nought
  expect(p.kept.size).toBe(0);
});

test('what was handed in before is told by its hash, once, and not sent again', async () => {
  const p = await phone(1);
  const server = new Server(() => false);
  const [id, r] = [...p.kept][0]!;
  for (const o of r.originals) server.whole.add(o.hash);
  p.kept.set(id, { ...r, draft: { ...r.draft, photographs: [{ id: 'h1', fileName: 'a.jpg', kind: 'top', notes: [] }] }, originals: r.originals.map((o, i) => (i === 0 ? { ...o, handed: 'h1' } : o)) });
  expect(messageOf(p.kept.get(id)!, new Date()).views).toEqual(r.originals.map((o) => ({ photograph: o.hash, kind: o.kind, fileName: o.name })));
  expect(await sendAll(p.world(server), 'p', 'W26')).toBe(1);
  expect(server.uploads.size).toBe(0);
});

test('an ended way in keeps everything and says so', async () => {
  const p = await phone(1);
  const w = { ...p.world(new Server(() => false)), fetch: async () => new Response(null, { status: 401 }) };
  await expect(sendAll(w, 'p', 'W26')).rejects.toMatchObject({ why: 'not in' });
  expect(p.kept.size).toBe(1);
  expect(p.files.size).toBe(2);
});

test('a phone that is nearly full says so early', () => {
  expect(fullWords(0, 0)).toBe('');
  expect(fullWords(1e9, 1e8)).toBe('');
  expect(fullWords(1e9, 9e8)).toContain('95 MB');
});

test('a photograph that was handed in and lies here too is one', () => {
  const shot = (id: string, kept?: string) => ({ id, fileName: id, kind: 'top' as const, notes: [], ...(kept ? { kept } : {}) });
  const draft = { ...emptyDraft('r', { date: '2026-10-10' }), photographs: [shot('a'), shot('b'), shot('c', 'c')] };
  const original = (id: string, handed?: string) => ({ id, hash: id, kind: 'top' as const, name: id, size: 1, upload: '', arrived: false, ...(handed ? { handed } : {}) });
  const r = { id: 'r', draft, originals: [original('f', 'a'), original('g')] } as unknown as PhoneRecord;
  expect(thereOf(r).map((p) => p.id)).toEqual(['b', 'c']);
  expect(messageOf(r, new Date()).views).toEqual([{ handed: 'b', kind: 'top' }, { photograph: 'f', kind: 'top', fileName: 'f' }, { photograph: 'g', kind: 'top', fileName: 'g' }]);
});
