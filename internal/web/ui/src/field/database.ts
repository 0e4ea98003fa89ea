/** One act upon the phone's databases (IndexedDB): whole or not at all, and on the disk when its promise is kept. */

/** A database and its stores. A later version only ever adds stores: what an older app kept is sent by a newer one. */
export interface Database {
  name: string;
  stores: Record<string, IDBObjectStoreParameters>;
}

/** Connections that are open, by name: opening one takes a slow phone longer than what is done by it. */
const opened = new Map<string, Promise<IDBDatabase>>();

function open(of: Database): Promise<IDBDatabase> {
  const before = opened.get(of.name);
  if (before) return before;
  const now = new Promise<IDBDatabase>((done, failed) => {
    const asked = indexedDB.open(of.name, 1);
    asked.onupgradeneeded = () => {
      for (const [name, how] of Object.entries(of.stores)) {
        if (!asked.result.objectStoreNames.contains(name)) asked.result.createObjectStore(name, how);
      }
    };
    asked.onsuccess = () => {
      const db = asked.result;
      // Another page with a newer app is not held up.
      db.onversionchange = () => {
        opened.delete(of.name);
        db.close();
      };
      db.onclose = () => opened.delete(of.name); // the browser took it away, as when its user clears what sites keep
      done(db);
    };
    asked.onerror = () => failed(asked.error ?? new Error('no store'));
  });
  opened.set(of.name, now);
  now.catch(() => opened.delete(of.name));
  return now;
}

/** begin begins a transaction that is on the disk when it is complete, as far as the browser can see to it. */
async function begin(of: Database, store: string, mode: IDBTransactionMode): Promise<IDBTransaction> {
  try {
    return (await open(of)).transaction(store, mode, { durability: 'strict' });
  } catch (thrown) {
    if (!opened.delete(of.name)) throw thrown;
    return (await open(of)).transaction(store, mode, { durability: 'strict' }); // the connection had ended meanwhile
  }
}

/** act does something upon one store; what it returns is read when all of it is done. Fails where the browser keeps nothing. */
export async function act<T>(of: Database, store: string, mode: IDBTransactionMode, does: (s: IDBObjectStore) => { readonly result: T }): Promise<T> {
  const t = await begin(of, store, mode);
  return await new Promise<T>((done, failed) => {
    const asked = does(t.objectStore(store));
    t.oncomplete = () => done(asked.result);
    // Only the end of a transaction tells why: on its error the reason is not there yet.
    t.onabort = () => failed(t.error ?? new Error('not kept'));
  });
}

/**
 * change puts what becomes of the value at a key in its place, and returns it; undefined leaves it as it is. Two pages
 * that change it at once do so one after the other.
 */
export async function change<T>(of: Database, store: string, key: string, becomes: (before: T | undefined) => T | undefined): Promise<T | undefined> {
  return act<T | undefined>(of, store, 'readwrite', (s) => {
    const out: { result: T | undefined } = { result: undefined };
    const asked = s.get(key) as IDBRequest<T | undefined>;
    asked.onsuccess = () => {
      out.result = becomes(asked.result);
      if (out.result !== undefined) s.put(out.result, ...(s.keyPath === null ? [key] : []));
    };
    return out;
  });
}
