import { afterEach, describe, expect, it, vi } from 'vitest';
import { get, photograph, post, readProblem, Refused, refusalOf } from './call';

afterEach(() => {
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

describe('readProblem', () => {
  // The members of RFC 9457, with ours beside them.
  it('reads sentence, field and faults', () => {
    const r = readProblem(422, { type: 'about:blank', title: 'Unprocessable Content', status: 422, says: 'Two things.', faults: [{ field: 'found', says: 'No day.' }, { bad: 1 }, null] });
    expect([r.status, r.says, r.faults, r.at('found'), r.at('place')]).toEqual([422, 'Two things.', [{ field: 'found', says: 'No day.' }], 'No day.', '']);
  });
  it('falls back on detail, then on a sentence of its own', () => {
    expect(readProblem(400, { detail: 'Mend it.' }).says).toBe('Mend it.');
    expect(readProblem(401, undefined).says).toMatch(/link/);
    expect(readProblem(500, 'gibberish').says).toMatch(/500/);
  });
  it('puts a single field’s sentence at its field', () => expect(readProblem(422, { says: 'Far off.', field: 'place' }).at('place')).toBe('Far off.'));
});

describe('calls', () => {
  it('tries again when the network fails and gives up with a sentence', async () => {
    vi.useFakeTimers();
    const fetch = vi.fn(() => Promise.reject(new TypeError('failed')));
    vi.stubGlobal('fetch', fetch);
    const asked = get('/season').catch((e: unknown) => e);
    await vi.runAllTimersAsync();
    const fault = await asked;
    expect(fault).toBeInstanceOf(Refused);
    expect((fault as Refused).outOfReach).toBe(true);
    expect(fetch).toHaveBeenCalledTimes(3);
  });
  it('succeeds on a later try', async () => {
    vi.useFakeTimers();
    let n = 0;
    vi.stubGlobal('fetch', () => (++n < 3 ? Promise.reject(new TypeError()) : Promise.resolve(new Response('{"a":1}'))));
    const asked = post<{ a: number }>('/x');
    await vi.runAllTimersAsync();
    expect(await asked).toEqual({ a: 1 });
  });
  it('never repeats a refusal', async () => {
    const fetch = vi.fn(() => Promise.resolve(new Response('{"says":"No."}', { status: 422 })));
    vi.stubGlobal('fetch', fetch);
    await expect(get('/x')).rejects.toMatchObject({ status: 422, says: 'No.' });
    expect(fetch).toHaveBeenCalledTimes(1);
  });
  it('takes an answer that is no JSON for a fault', async () => {
    vi.stubGlobal('fetch', () => Promise.resolve(new Response('<html>')));
    await expect(get('/x')).rejects.toBeInstanceOf(Refused);
  });
  it('writes addresses of photographs', () => {
    expect(photograph('a b', 'thumb')).toBe('/api/photographs/a%20b/thumb');
    expect(photograph('a', 'screen', 2)).toBe('/api/photographs/a/screen?again=2');
  });
  it('makes a sentence of whatever was thrown', () => expect(refusalOf(new Error('x')).says).toMatch(/kept/));
});
