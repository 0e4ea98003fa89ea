/** What a phone that went dark left behind: photographs whose draft was not written any more. */
import { get } from '../api/call';
import { allWaiting, dropWaitingOf } from '../recorder/waiting';
import { leftTheForm } from './keep';

/**
 * begunWithout returns the record of photographs of this person that wait
 * without a draft, the newest first; '' when there is none. To be asked when
 * the person has no new record begun. Files of a record that the server turns
 * out to have are forgotten.
 */
export async function begunWithout(person: string): Promise<string> {
  const drafts = new Set(Object.keys(localStorage).map((key) => key.split('.').at(-1)));
  const records = new Set((await allWaiting()).filter((f) => f.person === person && !drafts.has(f.record)).map((f) => f.record));
  for (const id of [...records].reverse()) {
    if (await leftTheForm(id)) continue;
    const there = await get(`/records/${id}`, { tries: 1 }).then(() => true, () => false);
    if (!there) return id;
    await dropWaitingOf(id);
  }
  return '';
}
