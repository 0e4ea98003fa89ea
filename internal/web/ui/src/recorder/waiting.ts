/** Photographs of records that the server does not have yet, kept on the device so that neither a reload nor a dead battery loses one. */
import type { ShownPhotograph, ViewKind } from '../api/types';
import { act, change, type Database } from '../field/database';

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
const database: Database = { name: 'trug', stores: { [store]: { keyPath: 'id' } } };
const work = <T>(mode: IDBTransactionMode, does: (s: IDBObjectStore) => IDBRequest<T>) => act(database, store, mode, does);

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
  // Not noted, it is handed in once more, which changes nothing.
  await change<WaitingFile>(database, store, id, (file) => file && { ...file, handed: shown }).catch(() => undefined);
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
