/** Photographs of records that the server does not have yet, kept on the device so that neither a reload nor a dead battery loses one. */
import type { ShownPhotograph, ViewKind } from '../api/types';

/** A file that waits. */
export interface WaitingFile {
  id: string;
  record: string;
  name: string;
  kind: ViewKind;
  /** The kind is a guess among several files chosen at once. */
  guessed: boolean;
  /** Who chose it; left out by older apps. */
  person?: string;
  /** As what it has been handed in. It stays here all the same until its record is kept at the server. */
  handed?: ShownPhotograph;
  bytes: Blob;
}

const store = 'waiting';

function open(): Promise<IDBDatabase> {
  return new Promise((done, failed) => {
    const asked = indexedDB.open('trug', 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(store, { keyPath: 'id' });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error ?? new Error('no store'));
  });
}

async function work<T>(mode: IDBTransactionMode, act: (s: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const db = await open();
  try {
    return await new Promise<T>((done, failed) => {
      // strict: on the disk when the promise is kept, as far as the browser can see to it.
      const t = db.transaction(store, mode, { durability: 'strict' });
      const asked = act(t.objectStore(store));
      t.oncomplete = () => done(asked.result);
      // Only the end of a transaction tells why: on its error the reason is not there yet.
      t.onabort = () => failed(t.error ?? new Error('not kept'));
    });
  } finally {
    db.close();
  }
}

/** Whether a file is kept on the device: kept, no room for it, or nothing is kept at all. */
export type Kept = 'kept' | 'full' | 'nothing';

/** keepWaiting keeps a file, and says whether it could. The file is handed in all the same. */
export async function keepWaiting(file: WaitingFile): Promise<Kept> {
  try {
    await work('readwrite', (s) => s.put(file));
    return 'kept';
  } catch (thrown) {
    return (thrown as { name?: string } | null)?.name === 'QuotaExceededError' ? 'full' : 'nothing';
  }
}

/** markHanded notes as what a file was handed in, if it is still here. */
export async function markHanded(id: string, shown: ShownPhotograph): Promise<void> {
  try {
    const db = await open();
    await new Promise<void>((done) => {
      const t = db.transaction(store, 'readwrite', { durability: 'strict' });
      const s = t.objectStore(store);
      const asked = s.get(id) as IDBRequest<WaitingFile | undefined>;
      asked.onsuccess = () => asked.result && s.put({ ...asked.result, handed: shown });
      t.oncomplete = t.onabort = () => done();
    });
    db.close();
  } catch {
    // Not noted, it is handed in once more, which changes nothing.
  }
}

/** dropWaiting forgets a file whose record is kept at the server, or that was taken out. */
export async function dropWaiting(id: string): Promise<void> {
  await work('readwrite', (s) => s.delete(id)).catch(() => undefined);
}

/** allWaiting lists the files that wait, of all records; none where the device keeps nothing. */
export async function allWaiting(): Promise<WaitingFile[]> {
  try {
    return await work<WaitingFile[]>('readonly', (s) => s.getAll() as IDBRequest<WaitingFile[]>);
  } catch {
    return [];
  }
}

/** waitingFor lists the files that still wait for a record. */
export async function waitingFor(record: string): Promise<WaitingFile[]> {
  return (await allWaiting()).filter((f) => f.record === record);
}

/** dropWaitingOf forgets the files of a record that is kept at the server, or that was thrown away. */
export async function dropWaitingOf(record: string): Promise<void> {
  for (const f of await waitingFor(record)) await dropWaiting(f.id);
}
