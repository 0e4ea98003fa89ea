import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Handing } from './handing.svelte';
import type { WaitingFile } from './waiting';

// What the device keeps of files: nothing where it is null, as there is no IndexedDB in this environment.
const device: { files: Map<string, WaitingFile> | null; full: (f: WaitingFile) => boolean } = { files: null, full: () => false };
vi.mock('./waiting', async (real) => {
  const there = await real<typeof import('./waiting')>();
  return {
    ...there,
    keepWaiting: async (f: WaitingFile) => (!device.files ? there.keepWaiting(f) : device.full(f) ? 'full' : (device.files.set(f.id, f), 'kept')),
    markHanded: async (id: string, handed: WaitingFile['handed']) => void (device.files?.has(id) && device.files.set(id, { ...device.files.get(id)!, handed })),
    dropWaiting: async (id: string) => void device.files?.delete(id),
    waitingFor: async () => [...(device.files?.values() ?? [])],
  };
});

// The device keeps nothing here: there is no IndexedDB in this environment,
// and handing in must work all the same.
let going = 0;
let most = 0;
let answer: (name: string) => Response;

beforeEach(() => {
  going = most = 0;
  device.files = null;
  device.full = () => false;
  vi.stubGlobal('URL', Object.assign(URL, { createObjectURL: () => 'blob:x', revokeObjectURL: () => undefined }));
  vi.stubGlobal('fetch', async (path: string) => {
    most = Math.max(most, ++going);
    await new Promise((done) => setTimeout(done, 1));
    going--;
    return answer(decodeURIComponent(String(path).split('name=')[1]!));
  });
});
afterEach(() => vi.unstubAllGlobals());

const file = (name: string) => new File(['x'], name);
const fine = (name: string) => new Response(JSON.stringify({ id: name, fileName: name, notes: [] }));
const settled = (h: Handing) => vi.waitFor(() => { if (h.busy) throw new Error('busy'); }, { timeout: 20_000 });

describe('Handing', () => {
  it('hands in all files, two at a time, and counts', async () => {
    answer = fine;
    const came: string[] = [];
    const h = new Handing('r', (shown) => came.push(shown.id));
    h.add(['a', 'b', 'c', 'd', 'e'].map(file), 'top', true);
    expect(h.total).toBe(5);
    await settled(h);
    expect([came.sort(), h.arrived, h.files.length, most]).toEqual([['a', 'b', 'c', 'd', 'e'], 5, 0, 2]);
  });

  it('tells of each file that has come when it is no longer among those on their way', async () => {
    answer = fine;
    const both: number[] = [];
    const h: Handing = new Handing('r', (_, f) => both.push(h.files.filter((x) => x.file.id === f.id).length));
    h.add(['a', 'b', 'c'].map(file), 'top', true);
    await settled(h);
    expect(both).toEqual([0, 0, 0]);
  });

  it('keeps what was refused with the sentence, and the others go on', async () => {
    answer = (name) => (name === 'bad' ? new Response('{"says":"bad is no photograph."}', { status: 422 }) : fine(name));
    const h = new Handing('r', () => undefined);
    h.add(['a', 'bad', 'c'].map(file), 'side', false);
    await settled(h);
    expect([h.arrived, h.files.map((f) => [f.file.name, f.state, f.says])]).toEqual([2, [['bad', 'refused', 'bad is no photograph.']]]);
    h.takeOut(h.files[0]!.file.id);
    expect([h.files.length, h.total]).toEqual([0, 2]);
  });

  it('can try again when the way in had ended', async () => {
    answer = () => new Response('{"says":"Come in first."}', { status: 401 });
    const came: string[] = [];
    const h = new Handing('r', (shown) => came.push(shown.id));
    h.add([file('a')], 'top', false);
    await settled(h);
    expect(h.files[0]!.state).toBe('out of reach');
    answer = fine;
    h.again();
    await settled(h);
    expect([came, h.files.length]).toEqual([['a'], 0]);
  });

  it('refuses a film and an empty file at once, remarks on a screenshot, and says that nothing is kept here', async () => {
    answer = fine;
    const came: string[] = [];
    const h = new Handing('r', (shown) => came.push(shown.id));
    h.add([new File([], 'a.jpg', { type: 'image/jpeg' }), new File(['x'], 'b.mp4', { type: 'video/mp4' }), new File(['x'], 'Screenshot_1.png', { type: 'image/png' })], 'top', true);
    await settled(h);
    expect([came, h.files.map((f) => [f.file.name, f.state]), h.remarks.length]).toEqual([['Screenshot_1.png'], [['a.jpg', 'refused'], ['b.mp4', 'refused']], 1]);
    expect(h.unkept).toContain('private window');
  });

  it('takes sixty at once, and of more says how many were not taken', async () => {
    answer = fine;
    const came: string[] = [];
    const h = new Handing('r', (shown) => came.push(shown.id), undefined, 'p', () => 1);
    h.add(Array.from({ length: 62 }, (_, i) => file(`${i}.jpg`)), 'top', true);
    await settled(h);
    expect([came.length, h.remarks]).toEqual([59, [expect.stringContaining('3 were not taken')]]);
  });

  it('says that the phone is full as long as this page alone has a photograph, whatever was kept after it', async () => {
    device.files = new Map();
    device.full = (f) => f.name === 'large';
    answer = () => new Response('', { status: 401 });
    const h = new Handing('r', () => undefined);
    h.add([file('large')], 'top', false);
    await settled(h);
    h.add([file('small')], 'side', false);
    await settled(h);
    expect([[...device.files.values()].map((f) => f.name), h.unkept]).toEqual([['small'], expect.stringContaining('This phone is full')]);
    h.takeOut(h.files.find((f) => f.file.name === 'large')!.file.id);
    expect(h.unkept).toBe('');
    h.add([file('large')], 'top', false);
    await vi.waitFor(() => expect(h.unkept).not.toBe(''));
    answer = fine;
    h.again();
    await settled(h);
    expect(h.unkept).toBe(''); // the server has it
  });

  it('loses no file of a record that went on by another way, whatever is answered late', async () => {
    device.files = new Map();
    let late: (r: Response) => void = () => undefined;
    vi.stubGlobal('fetch', () => new Promise((done) => (late = done)));
    for (const [status, handed] of [[415, undefined], [200, 'p']] as const) {
      device.files.clear();
      const came: string[] = [];
      const h = new Handing('r', (shown) => came.push(shown.id));
      h.add([file('a')], 'top', false);
      await vi.waitFor(() => expect(device.files?.size).toBe(1));
      h.leave();
      late(new Response('{"id":"p","says":"No."}', { status }));
      await new Promise((done) => setTimeout(done, 5));
      expect([[...device.files.values()].map((f) => f.handed?.id), came]).toEqual([[handed], []]);
    }
  });

  it('goes on when its page is left, and hands nothing in twice when it is opened again', async () => {
    device.files = new Map();
    const asked: string[] = [];
    answer = (name) => (asked.push(name), fine(name));
    const first = new Handing('r', () => undefined);
    first.add(['a', 'b', 'c', 'd'].map(file), 'top', true);
    first.close();
    await vi.waitFor(() => expect(asked.length).toBeGreaterThan(0));
    const came: string[] = [];
    const then = new Handing('r', (shown) => came.push(shown.id));
    await then.resume();
    await settled(then);
    await settled(first);
    expect([[...asked].sort(), [...came].sort()]).toEqual([['a', 'b', 'c', 'd'], ['a', 'b', 'c', 'd']]);
    asked.length = 0;
    const left = new Handing('r2', () => undefined);
    device.files.clear();
    left.add(['e', 'f', 'g'].map(file), 'top', true);
    left.close();
    await settled(left);
    expect([[...asked].sort(), [...device.files.values()].map((f) => f.handed?.id).sort()]).toEqual([['e', 'f', 'g'], ['e', 'f', 'g']]);
  });
});
