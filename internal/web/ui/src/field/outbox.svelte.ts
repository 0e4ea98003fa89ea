/** What waits on this phone, as the screens show it, and when it is sent. */
import type { RecordForm } from '../recorder/record-form.svelte';
import type { ViewKind } from '../api/types';
import { renamedIn, saidIn } from '../recorder/draft';
import { dropWaiting, waitingFor, type WaitingFile } from '../recorder/waiting';
import { season } from '../season.svelte';
import { uuidv7 } from '../uuidv7';
import { askToStay, heard, nextNumber, onPhone, putRecord, roomLeft, sha256, takeBack, toldHere, waitingOf, type PhoneOriginal, type PhoneRecord, type Told } from './keep';
import { nextTry, sendAll, Stopped, type PutOff, type World } from './sender';
import { t } from '../words';

const world: World = {
  keep: onPhone,
  fetch: async (path, init) => {
    const answer = await fetch(path, init);
    if (answer.ok) outbox.moves();
    return answer;
  },
  bytes: async (record, id) => (await waitingFor(record)).find((f) => f.id === id)?.bytes,
  forget: dropWaiting,
  now: () => new Date(),
};

/** originalsOf names files by their content. One that was chosen twice is there once. */
async function originalsOf(files: WaitingFile[], kinds: Map<string, ViewKind>): Promise<PhoneOriginal[]> {
  const out: PhoneOriginal[] = [];
  for (const f of files) {
    const hash = await sha256(f.bytes);
    if (out.some((o) => o.hash === hash)) continue;
    const kind = kinds.get(f.id) ?? kinds.get(f.handed?.id ?? '') ?? f.kind;
    out.push({ id: f.id, hash, kind, name: f.name, size: f.bytes.size, upload: '', arrived: false, ...(f.handed ? { handed: f.handed.id } : {}) });
  }
  return out;
}

/** The least time between two tries that nobody asked for, and the longest after some of which nothing came through, in milliseconds: our own judgement. */
const [lull, longestLull] = [10_000, 60_000];

class Outbox {
  records: PhoneRecord[] = $state.raw([]);
  sending = $state(false);
  says = $state('');
  /** That the phone is nearly full, in a sentence; '' while it is not. */
  full = $state('');
  /** What is to be told of records that were sent. */
  told: Told[] = $state.raw([]);
  /** Counts what has arrived since the app was opened: pages that list records read them again. */
  arrived = $state(0);
  private timer: ReturnType<typeof setTimeout> | undefined;
  private off: PutOff = new Map();
  private works = false;
  /** Tries in a row of which nothing came through. */
  private vain = 0;

  /** Records of whoever has come in, oldest first. */
  get mine(): PhoneRecord[] {
    const me = season.me?.id;
    return this.records.filter((r) => r.person === me && r.season === season.now?.code).sort((a, b) => a.number - b.number);
  }
  /** Records that only somebody else, or another season, can send. */
  get others(): PhoneRecord[] {
    const mine = new Set(this.mine.map((r) => r.id));
    return this.records.filter((r) => !mine.has(r.id));
  }

  async read(): Promise<void> {
    const before = this.records;
    try {
      this.records = await onPhone.records();
    } catch {
      this.records = [];
    }
    // Sent from here, or from another page.
    if (before.some((b) => !this.records.some((r) => r.id === b.id))) {
      this.arrived++;
      season.takeAnew();
    }
    this.told = await toldHere();
    this.full = await roomLeft();
  }

  /** keep keeps a filled-in record on this phone; a sentence where that can't be, else ''. */
  async keep(form: RecordForm, person: string): Promise<string> {
    const cannot = t('This browser keeps nothing, as in a private window. Stay on this page and keep the record when you are in reach; or write it on a paper slip.');
    if (!('indexedDB' in globalThis)) return cannot;
    try {
      const draft = JSON.parse(JSON.stringify(form.draft)) as PhoneRecord['draft'];
      const kinds = form.kinds; // as they are now: a file may come while the others are kept
      const coming = form.handing.files.filter((f) => f.state !== 'refused').map((f) => f.file);
      // What the phone had no room for may fit by now; the page still holds it.
      for (const f of coming) if (!(await waitingFor(draft.id)).some((h) => h.id === f.id)) await form.handing.keep(f);
      const here = await waitingFor(draft.id);
      if (coming.some((f) => !here.some((h) => h.id === f.id))) return form.handing.unkept || cannot;
      const originals = await originalsOf(here.filter((h) => coming.some((f) => f.id === h.id) || draft.photographs.some((p) => p.id === h.handed?.id)), kinds);
      await this.put(person, draft, originals);
    } catch (thrown) {
      return (thrown as { name?: string } | null)?.name === 'QuotaExceededError' ? t('This phone is full, so the record could not be kept on it. Nothing that you entered is lost while this page stays open: make room, and keep it again.') : cannot;
    }
    return '';
  }

  /** put keeps a record on this phone, in place of what was said of it before. */
  private async put(person: string, draft: PhoneRecord['draft'], originals: PhoneOriginal[]): Promise<void> {
    const { phone, number } = await nextNumber(uuidv7());
    await putRecord({
      id: draft.id, person, personName: season.me?.name ?? '', season: season.now?.code ?? '', phone, number,
      made: new Date().toISOString(), draft, originals, state: 'waits', says: '',
    });
    void askToStay();
    await this.read();
  }

  /** change keeps what is changed of a record that the server has, without new photographs; nothing is kept where nothing differs. Fails where the browser keeps nothing. */
  async change(person: string, draft: PhoneRecord['draft']): Promise<void> {
    const originals = (await waitingOf(draft.id))?.originals ?? [];
    if (originals.length === 0 && Object.keys(saidIn(draft)).length === 0 && renamedIn(draft).length === 0) {
      await takeBack(draft.id);
      await this.read();
      return;
    }
    await this.put(person, JSON.parse(JSON.stringify(draft)) as PhoneRecord['draft'], originals);
    void this.look();
  }

  /** heard forgets what has been read. */
  async heard(): Promise<void> {
    await heard();
    this.told = [];
  }

  /** takeBack gives a record back to the form, where it is mended. */
  async takeBack(r: PhoneRecord): Promise<void> {
    await takeBack(r.id);
    await this.read();
  }

  /** moves notes that something came through. */
  moves(): void {
    this.vain = 0;
    this.sending = true;
    this.says = '';
  }

  /**
   * send sends what waits, in one page at a time. A try that nobody asked for says nothing until something comes
   * through: whoever listens to the page is not told every few seconds that it is out of reach.
   */
  async send(asked = true): Promise<void> {
    clearTimeout(this.timer);
    await this.read();
    const me = season.me;
    if (!me || season.away || this.works || !this.mine.some((r) => r.state === 'waits')) return;
    if (asked) this.vain = 0;
    const act = async () => {
      this.works = true;
      this.vain++;
      if (asked || this.says === '') {
        this.sending = true;
        this.says = '';
      }
      let says = '';
      try {
        await sendAll(world, me.id, season.now!.code, this.off);
      } catch (thrown) {
        says = thrown instanceof Stopped ? thrown.says : t('Sending stumbled. It goes on in a moment.');
      } finally {
        await this.read();
        this.says = says;
        this.sending = this.works = false;
      }
    };
    if (navigator.locks) await navigator.locks.request('trug-send', { ifAvailable: true }, (lock) => (lock ? act() : undefined));
    else await act();
    const next = nextTry(this.mine.filter((r) => r.state === 'waits'), this.off, new Date());
    if (next !== undefined) this.timer = setTimeout(() => void this.look(false), Math.max(next, Math.min(lull * 2 ** Math.max(0, this.vain - 1), longestLull)));
  }

  /** look sees whether the server is in reach again, and sends; anew, as when somebody asked, also what the server put off. */
  async look(anew = true): Promise<void> {
    if (anew) this.off.clear();
    if (season.away || !season.me) await season.load();
    await this.send(anew);
  }

  /** begin reads what waits, sends it, and again whenever the phone comes into reach. */
  begin(): () => void {
    const back = () => void this.look();
    const seen = () => document.visibilityState === 'visible' && (this.records.length > 0 || season.code !== null || season.away) && void this.look();
    addEventListener('online', back);
    document.addEventListener('visibilitychange', seen);
    return () => {
      removeEventListener('online', back);
      document.removeEventListener('visibilitychange', seen);
      clearTimeout(this.timer);
    };
  }
}

export const outbox = new Outbox();
