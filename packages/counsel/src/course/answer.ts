/** The answers of `course` and `predict`: the shapes other programs may rely on, and what a screen draws. */

/** A level of the water at one instant: quantiles over the particles, in the unit of its series. */
export interface BandPoint {
  /** RFC 3339 instant. */
  readonly at: string;
  readonly p05: number;
  readonly p25: number;
  readonly p50: number;
  readonly p75: number;
  readonly p95: number;
}

export type Nutrient = 'ammonia' | 'nitrite' | 'nitrate';

export interface Series {
  readonly analyte: Nutrient;
  readonly as: 'N';
  readonly unit: 'mg/L';
  readonly points: readonly BandPoint[];
}

export type Stage = 'waking' | 'ammonia' | 'nitrite' | 'proving' | 'settling' | 'kept';

/** When the water is ready; an instant is null where it lies past the horizon. */
export interface Ready {
  readonly p05: string | null;
  readonly p50: string | null;
  readonly p95: string | null;
  readonly byDay: readonly { readonly at: string; readonly probability: number }[];
}

export interface CapacityBand {
  readonly unit: 'mg N/L/d';
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

export interface FitReport {
  readonly effectiveSamples: number;
  readonly logEvidence: number;
  /** Nominal seconds: the work done, counted, at the rate of the reference machine, so that bytes repeat. */
  readonly seconds: number;
  readonly readingsUsed: number;
  readonly warnings: readonly string[];
}

export interface Course {
  readonly tank: string;
  readonly asOf: string;
  readonly stage: Stage;
  readonly ready: Ready;
  readonly series: readonly Series[];
  readonly capacity: { readonly ammonia: CapacityBand; readonly nitrite: CapacityBand };
  readonly fit: FitReport;
}

export interface Prediction {
  readonly analyte: string;
  readonly as: string;
  readonly mean: number;
  readonly quantiles: Readonly<Record<'0.05' | '0.25' | '0.5' | '0.75' | '0.95', number>>;
  readonly steps?: readonly { readonly value: number; readonly probability: number }[];
}

/** A reading as the interval of true levels its kit allows, mg/L as N; `high` is null where the card ends. */
export interface DrawnReading {
  readonly entry: string;
  readonly at: string;
  readonly analyte: Nutrient;
  readonly low: number;
  readonly high: number | null;
  /** As its author wrote it: "between 2 and 5 mg/L as NO2, diluted 1 in 5". */
  readonly text: string;
  /** Probability that a reading at least this far from the forecast's middle would be taken; small is surprising. */
  readonly surprise: number;
}

/** Something done to the tank, for the foot of the chart. */
export interface DrawnDeed {
  readonly entry: string;
  readonly at: string;
  readonly kind: 'opened' | 'dose' | 'culture' | 'food' | 'exchange' | 'arrival' | 'loss';
  readonly text: string;
}

/** One place nitrogen can be, mg of N in the whole tank today, median with 90 % band. */
export interface LedgerLine {
  readonly place: 'food' | 'ammonia' | 'nitrite' | 'nitrate' | 'bacteria' | 'taken out' | 'gas and algae';
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

export interface Ledger {
  readonly unit: 'mg N';
  /** Nitrogen put in or set free up to now. */
  readonly put: { readonly p05: number; readonly p50: number; readonly p95: number };
  readonly lines: readonly LedgerLine[];
  /** False where no litres are known: then every amount is per litre and the unit says so. */
  readonly whole: boolean;
}

/** The second line of a sheet in its parts, for a face that prints units in its own way. */
export interface Footing {
  /** Whole days since the opening. */
  readonly day: number;
  /** Net litres as written down; null where they are not. */
  readonly litres: { readonly value: number; readonly sd: number } | null;
  /** What the ready window means; null where there is none. */
  readonly window: string | null;
}

/** What a tank sheet shows beside the course: words, readings, deeds and the ledger. */
export interface Sheet {
  readonly course: Course;
  /** One plain sentence; `emphasis` is the part of it that carries the ready window, or null. */
  readonly sentence: string;
  readonly emphasis: string | null;
  /** Second line: age, litres with error, what the window means. */
  readonly footing: string;
  readonly footingParts: Footing;
  readonly readings: readonly DrawnReading[];
  readonly deeds: readonly DrawnDeed[];
  readonly ledger: Ledger;
  /** What the fit could not explain, in words, most surprising first. */
  readonly doubts: readonly string[];
}
