/** The season as the visitor may know it, read once and shared by all pages. */
import { get, refusalOf, type Refused } from './api/call';
import type { ShownMe, ShownSeason } from './api/types';

class Season {
  /** The season, or null while it is being read or there is none. */
  now: ShownSeason | null = $state.raw(null);
  /** Why there is none. */
  fault: Refused | null = $state.raw(null);
  read = $state(false);

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
      this.now = await get<ShownSeason>('/season');
      this.fault = null;
    } catch (thrown) {
      this.now = null;
      this.fault = refusalOf(thrown);
    }
    this.read = true;
  }
}

export const season = new Season();
