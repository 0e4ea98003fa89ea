import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Handing } from './handing.svelte';

// The device keeps nothing here: there is no IndexedDB in this environment,
// and handing in must work all the same.
let going = 0;
let most = 0;
let answer: (name: string) => Response;

beforeEach(() => {
  going = most = 0;
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
});
