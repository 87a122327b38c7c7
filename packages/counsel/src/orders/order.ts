import type { Caution } from '../cautions/cautions.ts';

/** How soon: `now` before anything else, `today`, `soon` within the week, `whenever` it suits. */
export type Urgency = 'now' | 'today' | 'soon' | 'whenever';

/** Something that speaks for an order: a reading, a rule or a number of the model, with where it comes from. */
export interface Reason {
  readonly fact: string;
  /** Id of the journal entry it rests on. */
  readonly entry?: string;
  /** Published work, or "customary practice" where there is none. */
  readonly source?: string;
}

export interface TestToDo {
  readonly analyte: string;
  /** Name of a kit of the journal; null where it describes none for this. */
  readonly kit: string | null;
  /** 1 = undiluted. */
  readonly dilution: number;
}

export interface ExchangeSize {
  /** Null where the tank's litres are not known; `share` still is. */
  readonly litres: number | null;
  /** Of the tank's water, 0–1. */
  readonly share: number;
  /** How many such changes, an hour or two apart. */
  readonly times: number;
  readonly salinity: number;
  readonly temperatureC: number;
  readonly saltGrams: number | null;
}

/** What is to be done, in numbers; the same numbers as the sentence. */
export interface Deeds {
  readonly test: {
    readonly tests: readonly TestToDo[];
    readonly look?: string;
    /** What the test would tell apart, where it looks for what holds a tank up. */
    readonly causes?: readonly { readonly cause: string; readonly probability: number }[];
  };
  readonly dose: {
    readonly substance: string;
    /** Null where the litres are not known: then `nitrogenMgPerLitre` is all that can be said. */
    readonly nitrogenMg: number | null;
    readonly nitrogenMgPerLitre: number;
    readonly millilitres?: number;
    readonly grams?: number;
  };
  readonly exchange: ExchangeSize;
  readonly posture: { readonly item: string; readonly state: 'on' | 'off'; readonly until?: string };
  readonly wait: { readonly until: string | null; readonly for: string };
  readonly stock: {
    /** mg N of total ammonia a day that the tank is proven to carry. */
    readonly loadMgNPerDay: { readonly p05: number; readonly p50: number };
    /** The most the first animals should bring: a third of what is proven. */
    readonly firstLoadMgNPerDay: number;
    /** When the proof lapses. */
    readonly until: string;
  };
  readonly prove: {
    readonly nitrogenMg: number | null;
    readonly nitrogenMgPerLitre: number;
    /** What to read before it is poured; empty where that was read lately. */
    readonly testFirst: readonly TestToDo[];
    readonly readAfterHours: readonly [24, 48];
    readonly forLoadMgNPerDay: number | null;
    /** Which of the two runs a proof takes. */
    readonly run: 1 | 2;
    readonly millilitres?: number;
    readonly grams?: number;
  };
  readonly buffer: {
    readonly substance: 'bicarbonate';
    readonly grams: number | null;
    readonly raisesMeqL: number;
  };
  readonly emergency: {
    readonly exchange: ExchangeSize;
    readonly stopFeeding: boolean;
    readonly aerate: boolean;
    readonly retestAfterHours: number;
  };
}

export type Do = keyof Deeds;

/** One piece of advice of a kind. */
export interface OrderTo<D extends Do> {
  /** Names the same advice from day to day. */
  readonly key: string;
  readonly do: D;
  /** RFC 3339 instant from which it is due. */
  readonly when: string;
  readonly what: Deeds[D];
  /** One plain sentence. */
  readonly say: string;
  readonly because: readonly Reason[];
  readonly urgency: Urgency;
  /** Probability that what the order rests on is so; null where it is a rule or a plain fact. */
  readonly sure: number | null;
  /** What has to stay so for the order to stand, as "while …" goes on. */
  readonly holdsWhile: string;
  /** RFC 3339 instant at which to ask again, with new readings or without. */
  readonly lookAgain: string;
  /** Shown before the hand moves. */
  readonly cautions: readonly Caution[];
}

/** One piece of advice; `do` tells the shape of `what`. */
export type Order = { [D in Do]: OrderTo<D> }[Do];

const ranks: Readonly<Record<Urgency, number>> = { now: 0, today: 1, soon: 2, whenever: 3 };

/** Most urgent first; what is as urgent keeps the order it was given in, so that a list does not shuffle. */
export const mostUrgentFirst = (orders: readonly Order[]): Order[] =>
  [...orders].sort((a, b) => ranks[a.urgency] - ranks[b.urgency]);
