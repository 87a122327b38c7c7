import type { Prior, Surroundings } from '@brinewright/nitrogen';

/** Evidence's own narrow view of a tank: nothing of journals, instants or people; days since the opening. */

export type Analyte = 'ammonia' | 'nitrite' | 'nitrate' | 'alkalinity';

/** How the tank was started, as far as it was said. */
export type Start = 'wild' | 'mature' | 'animals' | 'unknown';

/**
 * How much was added. `known` is mg N/L (meq/L for alkalinity) at the nominal volume; `units` counts millilitres or
 * portions of a source whose strength has to be inferred (mg N/L per unit at the nominal volume).
 */
export type Size =
  | { readonly form: 'known'; readonly amount: number }
  | { readonly form: 'units'; readonly units: number; readonly source: string };

/** Something put in or taken out. */
export type Deed =
  | {
      readonly kind: 'ammonia' | 'nitrite' | 'nitrate' | 'organic' | 'alkalinity';
      readonly day: number;
      readonly size: Size;
    }
  | { readonly kind: 'culture'; readonly day: number; readonly source: 'bottled' | 'mature' | 'unknown' }
  | {
      readonly kind: 'exchange';
      readonly day: number;
      /** Null where nobody said how much. */
      readonly fraction: number | null;
      readonly nitrate: number;
      readonly alkalinity: number;
    }
  /** Steady input of the animals present from this day on, mg N/L/d at the nominal volume. */
  | { readonly kind: 'load'; readonly day: number; readonly perDay: number };

/** A source whose strength nobody wrote down: prior median of mg N/L per unit and the spread of its logarithm. */
export interface Source {
  readonly name: string;
  readonly median: number;
  readonly spread: number;
}

/** A test kit or instrument; levels in mg/L as N (meq/L for alkalinity). */
export type Instrument =
  | {
      readonly form: 'card';
      readonly analyte: Exclude<Analyte, 'alkalinity'>;
      /** Ascending values of the card, the first usually 0. */
      readonly steps: readonly number[];
    }
  /** A kit with no card known: read like a card of fine steps, doubted like one. */
  | { readonly form: 'eye'; readonly analyte: Exclude<Analyte, 'alkalinity'>; readonly offset: number }
  /** Photometer or probe: error `floor + share·level`. */
  | { readonly form: 'meter'; readonly analyte: Analyte; readonly floor: number; readonly share: number };

/** What was read: the interval of levels in the sample that fits it, before multiplying by the dilution. */
export interface Observation {
  readonly day: number;
  readonly instrument: number;
  /** Levels between which the reader chose; low = −Infinity or high = Infinity where the card ends. */
  readonly low: number;
  readonly high: number;
  /** For a meter, the number shown. */
  readonly shown: number;
  /** 1 = undiluted. */
  readonly dilution: number;
  /** Chance that it says nothing of the water, where that is more than an ordinary slip's. */
  readonly doubt?: number;
}

export interface Problem {
  readonly start: Start;
  readonly salinity: number;
  /** Day of the answer: everything given lies at or before it. */
  readonly today: number;
  /** Standard deviation of the logarithm of the litres. */
  readonly volumeSpread: number;
  readonly alkalinity: { readonly value: number; readonly sd: number };
  /** Surroundings day by day from day 0; the last holds for all that follows. */
  readonly surroundings: readonly Surroundings[];
  /** Whether animals are present that nobody sized: then their load is inferred. */
  readonly unsizedAnimals: boolean;
  readonly deeds: readonly Deed[];
  readonly sources: readonly Source[];
  readonly instruments: readonly Instrument[];
  readonly observations: readonly Observation[];
  /** What is supposed of single unknowns in place of what is usual, by the name of a coordinate or a constant of the biology. */
  readonly beliefs?: readonly Belief[];
}

/** A prior put in place of the usual one. */
export interface Belief {
  readonly name: string;
  readonly prior: Prior;
}
