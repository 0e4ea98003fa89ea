/** The season as the visitor may know it, read once and shared by all pages. */
import { get, refusalOf, type Refused } from './api/call';
import type { ShownMe, ShownSeason } from './api/types';
import { daySince, takeAlong } from './field/along';
import { dropHeld, held } from './field/keep';

class Season {
  /** The season, or null while it is being read or there is none. */
  now: ShownSeason | null = $state.raw(null);
  /** Why there is none. */
  fault: Refused | null = $state.raw(null);
  read = $state(false);
  /** Set while the server is out of reach and the season is as it was taken along. */
  away = $state(false);

  /** Who has come in; null for an outsider. */
  get me(): ShownMe | null {
    return this.now?.me ?? null;
  }

  /** may tells whether the visitor may open a place of the app. */
  may(place: string): boolean {
    return this.me?.places.includes(place) ?? false;
  }

  /** load reads the season, again after coming in, setting up or leaving. */
  async load(): Promise<void> {
    try {
      this.now = await get<ShownSeason>('/season', { tries: 1 });
      this.fault = null;
      this.away = false;
      if (this.now.me) void takeAlong(this.now.me.id);
      else void dropHeld();
    } catch (thrown) {
      this.fault = refusalOf(thrown);
      const along = this.fault.outOfReach ? await held() : null;
      this.now = along ? { ...along.season.season, today: daySince(along.season.season.today, along.season.season.zone, new Date(along.at), new Date()) } : null;
      this.away = along !== null;
    }
    this.read = true;
  }
}

export const season = new Season();
