/** How far the demonstration's photographs are drawn; asked for only while some are missing. */
import { get } from './api/call';
import type { DrawingProgress } from './api/types';

class Progress {
  now: DrawingProgress | null = $state.raw(null);
  /** Counts up when more photographs have come: pictures that failed are then asked for again. */
  again = $state(0);

  get busy(): boolean {
    return this.now !== null && this.now.total > 0 && this.now.done < this.now.total;
  }
}

export const progress = new Progress();

/** watch asks every few seconds until all are drawn; it returns how to stop. */
export function watch(every = 4000): () => void {
  let stopped = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const ask = async () => {
    const was = progress.busy;
    try {
      progress.now = await get<DrawingProgress>('/drawing', { tries: 1 });
    } catch {
      // Out of reach or no demonstration: there is nothing to tell.
    }
    if (was && !progress.busy) progress.again++;
    if (!stopped && progress.busy) timer = setTimeout(() => void ask(), every);
  };
  void ask();
  return () => {
    stopped = true;
    clearTimeout(timer);
  };
}
