/** What this device, or the server in its stead, says of the photographs of a record. Nothing waits for it. */
import { get, refusalOf } from '../api/call';
import type { ViewKind } from '../api/types';
import { Blocked, checkView, type Looked } from './checks';

/** A photograph that was looked over. */
export interface Look {
  /** Identifier of the file on its way; once it has come, shown is the photograph's. */
  file: string;
  shown: string;
  kind: ViewKind;
  /** Where the page can show it. */
  preview: string;
  state: 'looking' | 'waits for the server' | 'looked' | 'not looked';
  /** Who looked. */
  by: 'phone' | 'server';
  looked: Looked | null;
}

type Check = (blob: Blob, kind: string) => Promise<Looked>;
type AskServer = (photograph: string, kind: string) => Promise<Looked>;

const askServer: AskServer = (photograph, kind) => get<Looked>(`/photographs/${photograph}/advice?kind=${encodeURIComponent(kind)}`);

/** Looks holds the looks of one record, the newest last. */
export class Looks {
  list: Look[] = $state([]);

  constructor(
    private readonly check: Check = checkView,
    private readonly ask: AskServer = askServer,
  ) {}

  /** last is the newest. */
  get last(): Look | undefined {
    return this.list.at(-1);
  }

  /** of returns the look at a photograph that has been handed in. */
  of(photograph: string): Look | undefined {
    return this.list.find((l) => l.shown === photograph);
  }

  /** begin looks at a file that was chosen. */
  begin(file: string, kind: ViewKind, blob: Blob): void {
    this.list.push({ file, shown: '', kind, preview: URL.createObjectURL(blob), state: 'looking', by: 'phone', looked: null });
    const look = this.list.at(-1)!;
    this.check(blob, kind).then(
      (looked) => Object.assign(look, { looked, state: 'looked' }),
      (why: unknown) => {
        if (!(why instanceof Blocked)) {
          look.state = 'not looked';
          return;
        }
        look.state = 'waits for the server';
        look.by = 'server';
        if (look.shown !== '') void this.atServer(look);
      },
    );
  }

  /** came says that a file has been handed in, and as what. */
  came(file: string, photograph: string): void {
    const look = this.list.find((l) => l.file === file);
    if (!look) return;
    look.shown = photograph;
    if (look.state === 'waits for the server') void this.atServer(look);
  }

  private async atServer(look: Look): Promise<void> {
    try {
      Object.assign(look, { looked: await this.ask(look.shown, look.kind), state: 'looked' });
    } catch (thrown) {
      look.state = refusalOf(thrown).outOfReach ? 'waits for the server' : 'not looked';
    }
  }

  /** close gives back what the previews hold. */
  close(): void {
    for (const l of this.list) URL.revokeObjectURL(l.preview);
    this.list = [];
  }
}
