/** One act upon the phone's databases (IndexedDB): whole or not at all, and on the disk when its promise is kept. */

/** A database and its stores. A later version only ever adds stores: what an older app kept is sent by a newer one. */
export interface Database {
  name: string;
  stores: Record<string, IDBObjectStoreParameters>;
}

function open(of: Database): Promise<IDBDatabase> {
  return new Promise((done, failed) => {
    const asked = indexedDB.open(of.name, 1);
    asked.onupgradeneeded = () => {
      for (const [name, how] of Object.entries(of.stores)) {
        if (!asked.result.objectStoreNames.contains(name)) asked.result.createObjectStore(name, how);
      }
    };
    asked.onsuccess = () => {
      // Another page with a newer app is not held up.
      asked.result.onversionchange = () => asked.result.close();
      done(asked.result);
    };
    asked.onerror = () => failed(asked.error ?? new Error('no store'));
  });
}

/** act does something upon one store; what it returns is read when all of it is done. Fails where the browser keeps nothing. */
export async function act<T>(of: Database, store: string, mode: IDBTransactionMode, does: (s: IDBObjectStore) => { readonly result: T }): Promise<T> {
  const db = await open(of);
  try {
    return await new Promise<T>((done, failed) => {
      // strict: it is on the disk when the promise is kept, as far as the browser can see to it.
      const t = db.transaction(store, mode, { durability: 'strict' });
      const asked = does(t.objectStore(store));
      t.oncomplete = () => done(asked.result);
      // Only the end of a transaction tells why: on its error the reason is not there yet.
      t.onabort = () => failed(t.error ?? new Error('not kept'));
    });
  } finally {
    db.close();
  }
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
