import { beforeEach, expect, test, vi } from 'vitest';
import type { WaitingFile } from '../recorder/waiting';
import { begunWithout } from './remnants';

const phone = { files: [] as Partial<WaitingFile>[], waits: new Set<string>(), sent: new Set<string>() };
let server: Map<string, string[]> | null;
vi.mock('../recorder/waiting', () => ({ allWaiting: async () => [...phone.files], dropWaiting: async (id: string) => void (phone.files = phone.files.filter((f) => f.id !== id)) }));
vi.mock('./keep', () => ({ waitingOf: async (id: string) => (phone.waits.has(id) ? {} : null), leftTheForm: async (id: string) => phone.waits.has(id) || phone.sent.has(id) }));
vi.mock('../api/call', () => ({
  get: async (path: string) => {
    const views = server?.get(path.split('/').at(-1)!);
    if (!views) throw new Error('not there');
    return { views: views.map((photograph) => ({ photograph })) };
  },
}));

const file = (id: string, record: string, handed = ''): Partial<WaitingFile> => ({ id, record, person: 'me', ...(handed ? { handed: { id: handed } as WaitingFile['handed'] } : {}) });
const left = () => phone.files.map((f) => f.id);
beforeEach(() => {
  vi.stubGlobal('localStorage', { 'trug.draft.me.changed': '{}' });
  phone.waits.clear();
  phone.sent.clear();
  server = new Map();
});

test('a record that was begun is found by its photographs, the newest first, but none that waits or has its draft', async () => {
  phone.files = [file('a', 'old'), file('b', 'new'), file('c', 'waits'), file('d', 'changed'), { ...file('e', 'theirs'), person: 'somebody' }];
  phone.waits.add('waits');
  expect(await begunWithout('me')).toBe('new');
  expect(left()).toEqual(['a', 'b', 'c', 'd', 'e']);
});

test('what the server has in its record is forgotten; what was chosen to be added to it is not, and makes no new record', async () => {
  phone.files = [file('a', 'r', 'p1'), file('b', 'r', 'p2'), file('c', 'r')];
  phone.sent.add('r');
  server!.set('r', ['p1']);
  expect(await begunWithout('me')).toBe('');
  expect(left()).toEqual(['b', 'c']);
});

test('out of reach nothing is forgotten, and what was sent from here makes no new record', async () => {
  server = null;
  phone.files = [file('a', 'r', 'p1'), file('b', 's')];
  phone.sent.add('r').add('s');
  expect(await begunWithout('me')).toBe('');
  expect(left()).toEqual(['a', 'b']);
});
