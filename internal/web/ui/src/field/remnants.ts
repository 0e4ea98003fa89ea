/** What a phone that went dark left behind: photographs whose draft was not written any more. */
import { get } from '../api/call';
import type { RecordSheet } from '../api/types';
import { allWaiting, dropWaiting } from '../recorder/waiting';
import { leftTheForm, waitingOf } from './keep';

/**
 * begunWithout returns the record of photographs of this person that wait
 * without a draft, the newest first; '' when there is none. To be asked when
 * the person has no new record begun. Photographs that the server turns out to
 * have in their record are forgotten; any other that was chosen for a record
 * there waits until that one is changed again.
 */
export async function begunWithout(person: string): Promise<string> {
  const drafts = new Set(Object.keys(localStorage).map((key) => key.split('.').at(-1)));
  const files = (await allWaiting()).filter((f) => f.person === person && !drafts.has(f.record));
  for (const id of [...new Set(files.map((f) => f.record))].reverse()) {
    if (await waitingOf(id)) continue; // it is sent with its record
    const there = await get<RecordSheet>(`/records/${id}`, { tries: 1 }).catch(() => null);
    if (!there && !(await leftTheForm(id))) return id;
    for (const f of files) if (f.record === id && there?.views.some((v) => v.photograph === f.handed?.id)) await dropWaiting(f.id);
  }
  return '';
}
