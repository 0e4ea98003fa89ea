// A list of the Season desk: the query lives in the address, the server answers with one leaf.
import { get, refusalOf, type Refused } from '../api/call';
import type { DeskPage } from '../api/lists';
import { at, go } from '../place-in-app.svelte';
import { LEAF, readAsked, writeAsked, type Asked } from './list';

/** DeskList reads the leaf that the address asks for. Call `read` in an effect. */
export class DeskList<L> {
  page = $state.raw<DeskPage<L> | null>(null);
  fault = $state.raw<Refused | null>(null);
  busy = $state(false);
  /** The query that the page answers to: while the next leaf is on its way it is still the one before. */
  answered = $state.raw<Asked>(readAsked(new URLSearchParams()));
  private running: AbortController | undefined;

  /** `path` is what follows /api, `address` where the list stands in the app. */
  constructor(
    private readonly path: string,
    private readonly address: string,
  ) {}

  get asked(): Asked {
    return readAsked(at.route.query);
  }

  async read(): Promise<void> {
    this.running?.abort();
    const mine = (this.running = new AbortController());
    const asked = this.asked;
    this.busy = true;
    try {
      const got = await get<DeskPage<L>>(`${this.path}${writeAsked(asked, LEAF)}`, { signal: mine.signal });
      if (mine.signal.aborted) return;
      // Behind the last leaf, as by an old address, the last one is meant.
      if (got.lines.length === 0 && got.total > 0) return this.ask({ from: Math.floor((got.total - 1) / LEAF) * LEAF });
      [this.page, this.answered, this.fault] = [got, asked, null];
    } catch (thrown) {
      if (mine.signal.aborted) return;
      this.fault = refusalOf(thrown);
    }
    this.busy = false;
  }

  stop(): void {
    this.running?.abort();
  }

  /** ask changes the query; all but leafing begins again at the first line. */
  ask(change: Partial<Asked>): void {
    go(`${this.address}${writeAsked({ ...this.asked, from: 0, ...change })}`, true);
  }
}
