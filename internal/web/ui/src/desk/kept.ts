// Changes to a form of the desk that are not handed in yet, kept on the device.

type Keep = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;

const keyOf = (person: string, what: string) => `trug.desk.${person}.${what}`;

/** Keeps what was entered. Where nothing can be kept, it stays on the screen alone. */
export function keepForm(keep: Keep, person: string, what: string, form: unknown): void {
  try {
    keep.setItem(keyOf(person, what), JSON.stringify(form));
  } catch {
    // The device has no room or forbids it.
  }
}

/**
 * What was entered and not handed in: every member that `blank` has and that is
 * of the same sort. Null when there is nothing, or nothing that can be read.
 */
export function keptForm<T extends object>(keep: Keep, person: string, what: string, blank: T): T | null {
  try {
    const read: unknown = JSON.parse(keep.getItem(keyOf(person, what)) ?? 'null');
    if (typeof read !== 'object' || read === null) return null;
    const out = { ...blank };
    for (const k of Object.keys(blank) as (keyof T)[]) {
      const v = (read as Partial<T>)[k];
      if (typeof v === typeof blank[k] && Array.isArray(v) === Array.isArray(blank[k]) && v !== null) out[k] = v as T[keyof T];
    }
    return out;
  } catch {
    return null;
  }
}

/** Forgets what has been handed in. */
export function dropForm(keep: Keep, person: string, what: string): void {
  try {
    keep.removeItem(keyOf(person, what));
  } catch {
    // Where nothing can be kept there is nothing to forget.
  }
}
