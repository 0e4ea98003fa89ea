/** Taking a field code out of reach: the code and the name wait, finds are kept under them, and at the first signal both become the person's. */
import { post, refusalOf } from '../api/call';
import type { CameIn } from '../api/entry';
import type { ShownMe } from '../api/types';
import { dropDraft, loadDraft, saveDraft, type Draft, type Keep } from '../recorder/draft';
import { allWaiting, keepWaiting } from '../recorder/waiting';
import { dropCode, dropTaking, keepCode, keepTaking, onPhone, putRecord, takingHere, type KeptCode } from './keep';

/** meOf is the person as the screens know them until the code is exchanged. */
export function meOf(c: KeptCode): ShownMe {
  return { id: c.person, name: c.name, roles: ['recorder'], places: ['daybook'], by: 'field code', returns: false };
}

/** fits tells whether a text can be a field code: eight letters and figures, however they are parted. */
export function fits(code: string): boolean {
  return /^[a-z0-9]{8}$/i.test(code.replace(/[\s-]/g, ''));
}

/**
 * take hands a code and a name in. However often it is tried until the answer comes, the
 * server makes one person of it; the next who takes a code here is another. With back
 * it lets in only whom it let in before.
 */
export async function take(code: string, name: string, taking: string, back = false): Promise<void> {
  await post<CameIn>('/come-in/field-code', { code, name, taking, ...(back ? { back } : {}) }, { tries: 1 });
  await keepTaking({ code, name, id: taking, came: Date.now() });
}

/**
 * How long a browser may take to write a cookie to the disk, in milliseconds: Chromium writes every 30 s
 * (net/extras/sqlite, from memory), and a phone may go dark before.
 */
const cookieKept = 5 * 60_000;

/**
 * comeBack lets in again whom this phone's code let in a moment ago, where the browser was ended before it had written
 * down that they are in: their records would have nobody to be sent by. True when they are in.
 */
export async function comeBack(isIn: boolean): Promise<boolean> {
  const t = await takingHere();
  if (!t) return false;
  if (isIn) {
    if (Date.now() - t.came > cookieKept) await dropTaking();
    return false;
  }
  try {
    await take(t.code, t.name, t.id, true); // whose name was taken out meanwhile does not come back under it
    return true;
  } catch (thrown) {
    const refused = refusalOf(thrown);
    if (!refused.outOfReach && refused.status < 500 && refused.status !== 429) await dropTaking();
    return false;
  }
}

/** exchange hands in a code that was taken out of reach; true when its person has come in. What the server refuses is noted beside the code, which stays. */
export async function exchange(c: KeptCode): Promise<boolean> {
  try {
    await take(c.code, c.name, c.person);
    return true;
  } catch (thrown) {
    const refused = refusalOf(thrown);
    if (!refused.outOfReach && refused.status < 500 && refused.status !== 429) {
      const says = refused.faults.map((f) => f.says).join(' ') || refused.says;
      await keepCode({ ...c, says }).catch(() => undefined);
    }
    return false;
  }
}

/**
 * settle gives what was kept under the code to the person whom the server
 * knows: records, photographs, the draft. The code goes last, so that a phone that goes dark
 * in between, or has no room, settles once more. Fails where something could not be given.
 */
export async function settle(c: KeptCode, me: ShownMe, keep: Keep = localStorage): Promise<void> {
  for (const r of await onPhone.records()) if (r.person === c.person) await putRecord({ ...r, person: me.id, personName: me.name });
  for (const f of await allWaiting()) if (f.person === c.person && (await keepWaiting({ ...f, person: me.id })) !== 'kept') throw new Error('no room');
  const draft = loadDraft(keep, c.person, 'new');
  if (draft && !layTo(draft, me.id, keep)) throw new Error('no room');
  dropDraft(keep, c.person, 'new');
  await dropCode();
}

/** layTo makes a draft somebody's; where they have begun another record it is laid aside for after that one. */
function layTo(draft: Draft, person: string, keep: Keep): boolean {
  for (const place of ['new', 'aside']) {
    const there = loadDraft(keep, person, place);
    if (there === null || there.id === draft.id) return there !== null || saveDraft(keep, person, place, draft);
  }
  return false;
}
