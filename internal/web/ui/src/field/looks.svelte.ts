/** What this device, or the server in its stead, says of the photographs of a record. Nothing waits for it. */
import { get, refusalOf } from '../api/call';
import type { ViewKind } from '../api/types';
import { Blocked, checkView, type Facts, type Looked } from './checks';
import { lensOf } from './lens';

/** A photograph that was looked over. */
export interface Look {
  /** Identifier of the file on its way; once it has come, shown is the photograph's. */
  file: string;
  shown: string;
  kind: ViewKind;
  /** One of several chosen at once. */
  several: boolean;
  /** Where the page can show it. */
  preview: string;
  state: 'waits its turn' | 'looking' | 'waits for the server' | 'looked' | 'not looked';
  /** Who looked. */
  by: 'phone' | 'server';
  looked: Looked | null;
}

type Check = (blob: Blob, kind: string, facts: Facts) => Promise<Looked>;
type AskServer = (photograph: string, kind: string) => Promise<Looked>;

const askServer: AskServer = (photograph, kind) => get<Looked>(`/photographs/${photograph}/advice?kind=${encodeURIComponent(kind)}`);

/** Looks holds the looks of one record, the newest last. One photograph is looked over at a time: a phone has no memory for two. */
export class Looks {
  list: Look[] = $state([]);
  /** Of those of several that were chosen at once: how many there are, and how many have been looked over. */
  readonly several = $derived(this.list.filter((l) => l.several));
  readonly done = $derived(this.several.filter((l) => l.state === 'looked' || l.state === 'not looked').length);

  private readonly blobs = new Map<string, Blob>();
  private busy = false;
  private left = false;

  constructor(
    private readonly check: Check = checkView,
    private readonly ask: AskServer = askServer,
    private readonly lens: (blob: Blob) => Promise<Facts> = lensOf,
  ) {}

  /** last is the newest of those that were chosen by themselves. */
  get last(): Look | undefined {
    return this.list.findLast((l) => !l.several);
  }

  /** of returns the look at a photograph that has been handed in, or that is on its way. */
  of(photograph: string): Look | undefined {
    return this.list.find((l) => l.shown === photograph || l.file === photograph);
  }

  /** begin takes a file that was chosen into the row of those to be looked over: one of several after all chosen by themselves. */
  begin(file: string, kind: ViewKind, blob: Blob, several = false): void {
    this.blobs.set(file, blob);
    this.list.push({ file, shown: '', kind, several, preview: URL.createObjectURL(blob), state: 'waits its turn', by: 'phone', looked: null });
    void this.go();
  }

  /** came says that a file has been handed in, and as what. */
  came(file: string, photograph: string): void {
    const look = this.list.find((l) => l.file === file);
    if (!look) return;
    look.shown = photograph;
    if (look.state === 'waits for the server') void this.atServer(look);
  }

  /** again asks the server about what it could not be asked about: it is in reach again. */
  again(): void {
    for (const l of this.list) if (l.state === 'waits for the server' && l.shown !== '') void this.atServer(l);
  }

  /** is says which view a photograph is: what is asked of it hangs on that, so it is looked over anew where it is another. */
  is(photograph: string, kind: ViewKind): void {
    const look = this.of(photograph);
    if (!look || look.kind === kind) return;
    look.kind = kind;
    if (look.state === 'looking') return; // taken up again when that look is over
    look.state = 'waits its turn';
    void this.go();
  }

  /** drop forgets a photograph that was taken out. */
  drop(photograph: string): void {
    const look = this.of(photograph);
    if (!look) return;
    URL.revokeObjectURL(look.preview);
    this.blobs.delete(look.file);
    this.list = this.list.filter((l) => l.file !== look.file);
  }

  /** close gives back what the previews hold. */
  close(): void {
    this.left = true;
    for (const l of this.list) URL.revokeObjectURL(l.preview);
    this.list = [];
    this.blobs.clear();
  }

  private async go(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    for (;;) {
      const waits = this.list.filter((l) => l.state === 'waits its turn');
      const next = waits.findLast((l) => !l.several) ?? waits[0];
      if (!next || this.left) break;
      await this.lookAt(next);
    }
    this.busy = false;
  }

  private async lookAt(look: Look): Promise<void> {
    const blob = this.blobs.get(look.file);
    const kind = look.kind;
    look.state = 'looking';
    try {
      if (!blob) throw new Blocked('the file is no longer in this page');
      look.looked = await this.check(blob, kind, await this.lens(blob));
      look.by = 'phone';
      look.state = look.kind === kind ? 'looked' : 'waits its turn';
    } catch (why: unknown) {
      if (!(why instanceof Blocked)) {
        look.state = 'not looked';
        return;
      }
      look.state = 'waits for the server';
      look.by = 'server';
      if (look.shown !== '') await this.atServer(look);
    }
  }

  private async atServer(look: Look): Promise<void> {
    const kind = look.kind;
    try {
      const looked = await this.ask(look.shown, kind);
      if (look.kind !== kind) return; // called another view meanwhile, and asked about anew
      look.looked = looked;
      look.state = 'looked';
    } catch (thrown) {
      if (look.kind !== kind) return;
      look.state = refusalOf(thrown).outOfReach ? 'waits for the server' : 'not looked';
    }
  }
}
