import type { Ready } from './reading.ts';

/** Readings taken at one instant: where deeds fell on the same instant, nobody said which came first. */
export interface Occasion {
  readonly day: number;
  /** One past its last reading. */
  readonly end: number;
  /** Rows of water before and after that instant's deeds; equal where there were none. */
  readonly before: number;
  readonly after: number;
}

export interface WeigherShape {
  /** All readings, those of an occasion together. */
  readonly readings: readonly Ready[];
  readonly occasions: readonly Occasion[];
  /** Rows of water they were taken in. */
  readonly rows: number;
  readonly instruments: number;
  /** Particles there is room for. */
  readonly capacity: number;
}

/** Levels of a row of water, and in which order. */
export const levelNames = ['ammonia', 'nitrite', 'nitrate', 'alkalinity'] as const;
/** What is supposed of the reader, in this order, before the bias of each instrument. */
export const commonEyes = ['blur', 'tint', 'cross'] as const;

export const waterWidth = ({ rows }: Pick<WeigherShape, 'rows'>): number => rows * levelNames.length;
export const eyeWidth = ({ instruments }: Pick<WeigherShape, 'instruments'>): number =>
  commonEyes.length + instruments;

/**
 * Room for the water of many particles' readings and for what each supposes of kits and their reader. What comes out for
 * a particle does not depend on the others.
 */
export interface Weigher {
  /** mg/L as N and meq/L, rows · levels a particle, particles in fours. */
  readonly waters: Float32Array;
  /** Common eyes and instruments, particles in fours. */
  readonly eyes: Float32Array;
  readonly logLikelihoods: Float64Array;
  /**
   * Writes the log likelihoods of particles from the first to the last but one, of all occasions or of those from one to
   * the last but one; may write those of neighbours too.
   */
  weigh(first: number, last: number, from?: number, until?: number): void;
}
