/** Handing photographs in: at once, two at a time, with a count, and again when it failed. */
import { postBytes, refusalOf } from '../api/call';
import type { ShownPhotograph, ViewKind } from '../api/types';
import { uuidv7 } from '../uuidv7';
import { likeAScreenshot, mostPhotographs, refusedAtOnce, screenshotSays, tooManySays } from './chosen';
import { dropWaiting, dropWaitingOf, keepWaiting, markHanded, waitingFor, type WaitingFile } from './waiting';
import { t } from '../words';

/** A file on its way. */
export interface OnTheWay {
  file: WaitingFile;
  /** Where the page can show it until the server has it. */
  preview: string;
  state: 'waits' | 'goes' | 'refused' | 'out of reach';
  says: string;
}

const atOnce = 2;
// Statuses that speak of the file itself. Anything else, such as a way in that
// has ended, is no fault of the file's: it is kept and can be tried again.
const aboutTheFile = new Set([400, 409, 413, 415, 422]);

/** What is being handed in just now, by file: a page that is left and opened again waits for the same answer. */
const underWay = new Map<string, Promise<ShownPhotograph>>();
/** Rows that go on although their page was left, by record. */
const goOn = new Map<string, Handing>();

/** handIn hands a file in, once however many ask. */
function handIn(file: WaitingFile): Promise<ShownPhotograph> {
  const before = underWay.get(file.id);
  if (before) return before;
  const now = postBytes<ShownPhotograph>(`/photographs?name=${encodeURIComponent(file.name)}`, file.bytes).finally(() => underWay.delete(file.id));
  underWay.set(file.id, now);
  return now;
}

/** Handing is the row of files of one record on their way to the server. */
export class Handing {
  files: OnTheWay[] = $state([]);
  /** Of the present lot: how many there were and how many have arrived. */
  total = $state(0);
  arrived = $state(0);
  private going = 0;

  constructor(
    private readonly record: string,
    private readonly oncome: (shown: ShownPhotograph, file: WaitingFile) => void,
    /** Told of each file as it is chosen, or found waiting after a reload. */
    private readonly online: (file: WaitingFile) => void = () => undefined,
    private readonly person = '',
    /** How many photographs the record has already. */
    private readonly held: () => number = () => 0,
  ) {}

  /** Sentences on what was chosen last. */
  remarks: string[] = $state([]);

  /** Files that the device could not keep, and why, as long as this page alone has them. */
  private unkeptFiles: Record<string, 'full' | 'nothing'> = $state({});
  /** What keeps the device from keeping files of this record, in a sentence; '' while all of them are kept. */
  readonly unkept = $derived.by(() => {
    const why = Object.values(this.unkeptFiles);
    if (why.includes('nothing')) return t('This browser keeps no photographs, as in a private window. They are in this page as long as it stays open: keep the record in reach, or open the app in an ordinary window.');
    if (why.includes('full')) return t('This phone is full, so a photograph could not be kept on it. It is in this page as long as the page stays open: make room on the phone, or keep the record in reach now.');
    return '';
  });

  get busy(): boolean {
    return this.files.some((f) => f.state === 'waits' || f.state === 'goes');
  }

  /** away is set when the server could not be reached with a file. */
  get away(): boolean {
    return this.files.some((f) => f.state === 'out of reach');
  }

  /** leave lets go of files that go on by another way: they stay on the device, and are handed in from here no more. */
  leave(): void {
    for (const f of this.files) URL.revokeObjectURL(f.preview);
    this.files = [];
    this.left = true;
    this.ended();
  }
  private left = false;

  /** close gives back what the page showed: it is left, and the row goes on until it is opened again. */
  close(): void {
    for (const f of this.files) URL.revokeObjectURL(f.preview);
    if (this.busy) goOn.set(this.record, this);
  }

  private ended(): void {
    if (!this.busy && goOn.get(this.record) === this) goOn.delete(this.record);
  }

  /** done forgets all files of the record: it is kept at the server, or thrown away. */
  async done(): Promise<void> {
    this.leave();
    await dropWaitingOf(this.record);
  }

  /** add takes chosen files; all of one kind, or guessed when several come at once. */
  add(chosen: readonly File[], kind: ViewKind, guessed: boolean): void {
    if (!this.busy) this.total = this.arrived = 0;
    const room = Math.max(0, mostPhotographs - this.held() - this.files.filter((f) => f.state !== 'refused').length);
    const photographs = chosen.filter((f) => refusedAtOnce(f) === '');
    this.remarks = [
      ...(photographs.length > room ? [tooManySays(photographs.length - room)] : []),
      ...(photographs.some(likeAScreenshot) ? [screenshotSays] : []),
    ];
    for (const bad of chosen.filter((f) => refusedAtOnce(f) !== '')) {
      this.line({ id: uuidv7(), record: this.record, name: bad.name, kind, guessed, bytes: bad }, refusedAtOnce(bad));
    }
    for (const bytes of photographs.slice(0, room)) {
      const file: WaitingFile = { id: uuidv7(), record: this.record, name: bytes.name, kind, guessed, bytes, person: this.person };
      this.line(file);
      void this.keep(file);
    }
    this.next();
  }

  /** resume goes on with what a reload interrupted. */
  async resume(): Promise<void> {
    goOn.get(this.record)?.leave(); // from here on this row hands them in
    for (const file of await waitingFor(this.record)) {
      if (file.handed) this.oncome(file.handed, file);
      else if (!this.files.some((f) => f.file.id === file.id)) this.line(file);
    }
    this.next();
  }

  /** again tries once more with what could not be reached. */
  again(): void {
    for (const f of this.files) {
      if (f.state === 'out of reach') f.state = 'waits';
    }
    this.next();
  }

  /** is calls a file that is on its way by another kind, for good. */
  is(id: string, kind: ViewKind): void {
    const f = this.files.find((x) => x.file.id === id);
    if (!f) return;
    f.file = { ...f.file, kind, guessed: false };
    void this.keep(f.file);
  }

  /** takeOut forgets a file that was refused or is not wanted. */
  takeOut(id: string): void {
    const f = this.files.find((x) => x.file.id === id);
    if (!f) return;
    this.forget(f);
    delete this.unkeptFiles[id];
    void dropWaiting(id);
    this.total = Math.max(this.total - 1, this.arrived);
  }

  /** takeOutHanded forgets the file of a photograph that was handed in and is taken out of the record. */
  async takeOutHanded(photograph: string): Promise<void> {
    for (const f of await waitingFor(this.record)) if (f.handed?.id === photograph) await dropWaiting(f.id);
  }

  /** keep keeps a file on the device; where that can't be, it is said at once and the page holds it. */
  async keep(file: WaitingFile): Promise<void> {
    // A plain copy: what the page watches can't be written into the store.
    const kept = await keepWaiting({ ...file });
    if (kept === 'kept') delete this.unkeptFiles[file.id];
    else if (kept === 'nothing' || this.files.some((f) => f.file.id === file.id)) this.unkeptFiles[file.id] = kept;
  }

  private line(file: WaitingFile, refused = ''): void {
    this.files.push({ file, preview: URL.createObjectURL(file.bytes), state: refused === '' ? 'waits' : 'refused', says: refused });
    this.total++;
    if (refused === '') this.online(file);
  }

  private forget(f: OnTheWay): void {
    URL.revokeObjectURL(f.preview);
    this.files = this.files.filter((x) => x.file.id !== f.file.id);
  }

  private next(): void {
    while (this.going < atOnce) {
      const f = this.files.find((x) => x.state === 'waits');
      if (!f) return;
      void this.send(f);
    }
  }

  private async send(f: OnTheWay): Promise<void> {
    f.state = 'goes';
    this.going++;
    try {
      const shown = await handIn(f.file);
      if (!this.left) {
        this.arrived++;
        // Off this row first: whoever is told counts what has come and what is on its way, each once.
        this.forget(f);
        if (this.unkeptFiles[f.file.id] === 'full') delete this.unkeptFiles[f.file.id]; // the server has it now
        this.oncome(shown, f.file);
      }
      // The original stays until its record is kept: then the server has told that both are durable.
      await markHanded(f.file.id, shown);
    } catch (thrown) {
      if (this.left) return; // it goes on by another way, and its bytes with it
      const refused = refusalOf(thrown);
      f.state = aboutTheFile.has(refused.status) ? 'refused' : 'out of reach';
      f.says = refused.says;
      // A refused file would be refused again after a reload.
      if (f.state === 'refused') void dropWaiting(f.file.id);
    } finally {
      this.going--;
      this.next();
      this.ended();
    }
  }
}
