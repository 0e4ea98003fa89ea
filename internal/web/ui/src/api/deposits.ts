/** What is published. The names are those of the Go types. */
import type { CalendarDate, ShownName, ShownPlace } from './types';

/** DepositsPage is what was published and what would be. */
export interface DepositsPage {
  /** Newest first */
  deposits: ShownDeposit[];
}

/** ShownDeposit is a published version. */
export interface ShownDeposit {
  public: string;
  number: number;
  date: CalendarDate;
  records: number;
  views: number;
  determinations: number;
  /** Finds whose place is kept back */
  withheld: number;
  bytes: number;
  remark?: string;
}

/** Check is a line of what is looked at before a deposit. */
export interface Check {
  /** Holds is "yes", "remark" or "stops". */
  holds: string;
  /** Lead is the first clause, set bold; Says goes on from it. */
  lead: string;
  says: string;
  /** Fact is the Record book filter that shows the records meant. */
  fact?: string;
}

/** BeforeDeposit is what the next deposit would be. */
export interface BeforeDeposit {
  number: number;
  checks: Check[];
  /** CanGo is set when nothing stops it. */
  canGo: boolean;
  /** Example shows one protected find as the viewer and as outsiders see it. */
  example?: SeenTwice;
}

/** SeenTwice is a protected find as the coordinator and as outsiders see it. */
export interface SeenTwice {
  name: ShownName;
  number: string;
  yours: ShownPlace;
  yourDate: string;
  outside: ShownPlace;
  outDate: string;
  decidedBy: string;
}
