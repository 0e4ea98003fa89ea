/** What people may be asked to do to a find: as the server rules by place, day and kind, and this phone out of reach. */
import { post, refusalOf } from '../api/call';
import type { Ruling } from '../api/desk';
import type { EditablePlace } from '../api/types';
import { held } from '../field/keep';
import { season } from '../season.svelte';
import type { Draft } from './draft';
import { rulingsHere } from './rulings-here';
import { t } from '../words';

export type Prompt = Ruling['prompt'];

/** What it is asked about. Places go in a body: addresses end up in logs. */
export interface RulingsAsked {
  site?: string;
  place?: EditablePlace;
  date?: string;
  name?: string;
  record?: string;
}

/** askedOf takes out of a draft what the ruling hangs on. */
export function askedOf(d: Pick<Draft, 'place' | 'placeSaid' | 'found' | 'fieldName'>, record: string): RulingsAsked {
  return {
    ...(d.place && d.placeSaid !== 'unknown' ? { place: { ...d.place } } : {}),
    ...(d.found.date ? { date: d.found.date } : {}),
    ...(d.fieldName.trim() ? { name: d.fieldName.trim() } : {}),
    ...(record ? { record } : {}),
  };
}

// Until it is known what is allowed, nothing is.
const UNKNOWN = t('It is not known yet what is allowed here: look, and leave it as it is.');

type Send = (asked: RulingsAsked) => Promise<Ruling[] | null>;

/** askServer asks the server, and out of reach what this phone took along. */
async function askServer(asked: RulingsAsked): Promise<Ruling[] | null> {
  try {
    return await post<Ruling[] | null>('/prompts', asked, { tries: season.away ? 1 : 2 });
  } catch (thrown) {
    const along = refusalOf(thrown).outOfReach ? await held() : null;
    if (!along || along.person !== season.me?.id) throw thrown;
    return rulingsHere(along.season, season.now?.today ?? '', asked);
  }
}

/** Rulings holds the last answer; until one has come nothing may be asked. */
export class Rulings {
  private list: Ruling[] = $state.raw([]);
  private key = '';
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly send: Send = askServer) {}

  /** ask has the rulings brought up to date; the old ones stop holding at once. */
  ask(asked: RulingsAsked): void {
    const key = JSON.stringify(asked);
    if (key === this.key) return;
    this.key = key;
    this.list = [];
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.send(asked).then(
        (got) => {
          if (this.key === key) this.list = got ?? [];
        },
        () => {
          if (this.key === key) this.key = '';
        },
      );
    }, 200);
  }

  of(prompt: Prompt): Ruling {
    return this.list.find((r) => r.prompt === prompt) ?? { prompt, may: false, why: UNKNOWN };
  }

  may(prompt: Prompt): boolean {
    return this.of(prompt).may;
  }
}
