/** Photographs that have not been handed in yet, kept on the device so that a reload loses none. */
import type { ViewKind } from '../api/types';

/** A file that waits. */
export interface WaitingFile {
  id: string;
  record: string;
  name: string;
  kind: ViewKind;
  /** The kind is a guess among several files chosen at once. */
  guessed: boolean;
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
      const t = db.transaction(store, mode);
      const asked = act(t.objectStore(store));
      t.oncomplete = () => done(asked.result);
      t.onerror = t.onabort = () => failed(t.error ?? new Error('not kept'));
    });
  } finally {
    db.close();
  }
}

/** keepWaiting keeps a file; false where the device forbids it. The file is handed in all the same. */
export async function keepWaiting(file: WaitingFile): Promise<boolean> {
  try {
    await work('readwrite', (s) => s.put(file));
    return true;
  } catch {
    return false;
  }
}

/** dropWaiting forgets a file that has been handed in or taken out. */
export async function dropWaiting(id: string): Promise<void> {
  await work('readwrite', (s) => s.delete(id)).catch(() => undefined);
}

/** waitingFor lists the files that still wait for a record. */
export async function waitingFor(record: string): Promise<WaitingFile[]> {
  try {
    const all = await work<WaitingFile[]>('readonly', (s) => s.getAll() as IDBRequest<WaitingFile[]>);
    return all.filter((f) => f.record === record);
  } catch {
    return [];
  }
}
