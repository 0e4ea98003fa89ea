/** The key and its questions, written after the Go structs of the package app. */
import { t } from '../words';

/** FindQuestions is what a recorder is asked about a find of their own. */
export interface FindQuestions {
  /** What the find looks like; '' while nobody has said. */
  group: string;
  remain: number;
  kinds: number;
  /** The key knows few fungi like this one. */
  outside: boolean;
  questions: ShownQuestion[];
  /** The description so far, in plain words. */
  told: string;
  answered: ShownAnswer[];
}

/** ShownQuestion is one question. */
export interface ShownQuestion {
  character: string;
  label: string;
  question: string;
  technical: string;
  unit: string;
  /** Several states may be ticked */
  several: boolean;
  states: QuestionState[];
  /** How many of those that remain the answer is expected to set aside; 0 where nobody can say. */
  sets: number;
  remain: number;
}

/** QuestionState is an answer that is offered. */
export interface QuestionState {
  state: string;
  label: string;
  says: string;
  technical: string;
  /** An SVG of our own; '' where words do. */
  drawing: string;
}

/** ShownAnswer is an answer as it stands. */
export interface ShownAnswer {
  character: string;
  label: string;
  answer: string;
  /** Where it was filled from or measured, and by whom; '' of what somebody answered */
  from: string;
  /** The measurements behind it */
  sizes: string[];
}

/** GivenAnswer is an answer as a screen sends it. */
export interface GivenAnswer {
  character: string;
  states?: string[] | null;
  either?: boolean;
  number?: string;
  text?: string;
  blank?: 'not looked for' | 'not visible' | 'absent';
}

/** KeySheet is the key to one find, for determiners. */
export interface KeySheet {
  plain: string;
  technical: string;
  remain: number;
  kinds: number;
  notInKey: number;
  candidates: KeyCandidate[];
  doubles: KeyDouble[];
  asked: ShownQuestion[];
  open: ShownQuestion[];
  answered: ShownAnswer[];
  apart: KeyApart[];
  about: string;
  /** Counts the settled finds that changed entries of the key; 0 where the season does not learn. */
  learned: number;
  /** Whether time of year, kind of place and what has been recorded were reckoned with. */
  expects: boolean;
}

/** KeyCandidate is a taxon that the find can be. */
export interface KeyCandidate {
  name: string;
  probability: number;
  for: KeyReason[];
  against: KeyReason[];
  /** What was known of it before the find was looked at; '' where that was not reckoned with. */
  expected: string;
}

/** KeyReason is what one answer says of a candidate. */
export interface KeyReason {
  label: string;
  shows: string;
  /** Settled finds that the entry was learned from, 0 for the book's word. */
  finds: number;
}

/** KeyDouble is a dangerous look-alike that stands open. */
export interface KeyDouble {
  name: string;
  takenFor: string;
  why: string;
  settles: string;
  open: string[];
}

/** KeyApart is a character that tells two taxa apart. */
export interface KeyApart {
  label: string;
  one: string;
  two: string;
}

/** KeyDesk is the season's key for its coordinator. */
export interface KeyDesk {
  title: string;
  taxa: number;
  ownMatrix: boolean;
  characters: number;
  /** Labels of the characters that the season added, or added states to. */
  added: string[];
  learns: boolean;
  expects: boolean;
  /** Finds that a season may learn from. */
  settled: number;
  /** How many of a kind, with an answer, change an entry. */
  needed: number;
  changes: KeyLearned[];
}

/** KeyLearned is an entry of the matrix that settled finds changed. */
export interface KeyLearned {
  name: string;
  label: string;
  finds: number;
  before: string;
  after: string;
}

/** KeyFileDone tells what became of a matrix or a table of characters handed in. */
export interface KeyFileDone {
  kept: boolean;
  says: string;
  faults: string[];
  notes: string[];
}

/** A probability in two figures; none is called certain. */
export function chance(p: number): string {
  if (p > 0.99) return 'over 0.99';
  if (p < 0.01) return 'under 0.01';
  return p.toFixed(2);
}

/** What an answer is expected to do, as a reason to look; '' where nobody can say. */
export function whyAsk(q: ShownQuestion): string {
  if (q.remain < 2 || q.sets < 1) return '';
  return t('Sets aside about {sets} of the {remain} kinds that remain.', { sets: q.sets, remain: q.remain });
}
