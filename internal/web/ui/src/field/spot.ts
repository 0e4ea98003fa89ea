/** What is still worth doing before a find: worked out on this device, or by the server where the browser forbids that. */
import { post } from '../api/call';
import type { GivenAnswer, ShownQuestion } from '../api/key';
import type { Choices } from '../api/types';
import type { Draft } from '../recorder/draft';
import { Blocked, onTheSpot, type Spot, type SpotAsked } from './checks';
import { heldKey } from './keep';
import { t } from '../words';
import { word } from '../words/said';

/** answersOf are the answers of a draft as the key reads them. A smell in somebody's own words is none of its states. */
export function answersOf(d: Draft, choices: Choices): GivenAnswer[] {
  const states: [string, string, keyof Choices][] = [
    ['form', d.form, 'form'], ['substrate', d.substrate, 'substrate'], ['habit', d.habit, 'habit'],
    ['ripeness', d.ripeness, 'ripeness'], ['smell', d.smell, 'smell'], ['spore_print', d.sporePrint, 'sporePrint'],
  ];
  const own = states.filter(([, state, of]) => choices[of].some((c) => c.state === state)).map(([character, state]) => ({ character, states: [state] }));
  return [...own, ...d.answers.map((a) => a.given)];
}

/** answerWords puts an answer to a question into words. */
export function answerWords(q: ShownQuestion, a: GivenAnswer): string {
  return a.blank ? t('Can’t tell') : (a.states ?? []).map((s) => q.states.find((x) => x.state === s)?.label ?? s).map(word).join(', ') || a.number || a.text || '';
}

/** nextOnTheSpot asks the worker, by the tables that this phone holds, else the server. */
export async function nextOnTheSpot(asked: SpotAsked): Promise<Spot> {
  try {
    return await onTheSpot(asked, await heldKey());
  } catch (why) {
    if (!(why instanceof Blocked)) throw why;
    return post<Spot>('/field/next', asked);
  }
}
