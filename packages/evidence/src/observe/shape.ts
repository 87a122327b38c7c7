import type { Prior } from '@brinewright/nitrogen';
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
  /** Priors of the eyes, in their order; those of instruments of the factor they multiply by. */
  readonly eyes: readonly Prior[];
  /** Particles there is room for. */
  readonly capacity: number;
}

/** Levels of a row of water, and in which order. */
export const levelNames = ['ammonia', 'nitrite', 'nitrate', 'alkalinity'] as const;
/** What is supposed of the reader, in this order, before the bias of each instrument. */
export const commonEyes = ['blur', 'tint', 'cross'] as const;

export const waterWidth = ({ rows }: Pick<WeigherShape, 'rows'>): number => rows * levelNames.length;
/** Likelihoods kept of a particle's readings: in the water before and after the deeds of their instant. */
export const seenWidth = ({ readings }: Pick<WeigherShape, 'readings'>): number => 2 * readings.length;

/** Steps of tries by turn, in widths: a wide one, then one of a third. */
export const tryStrides = [2.4, 0.8] as const;

/** How other eyes are tried. */
export interface Looks {
  /** Tries, the first of them of the blur. */
  readonly turns: number;
  /** Power of the likelihood in the target. */
  readonly temperature: number;
  /** Names the streams, with the particle. */
  readonly word: number;
}

/**
 * Room for the water of many particles' readings and for what each supposes of kits and their reader. What comes out for
 * a particle does not depend on the others. Tables hold particles in fours.
 */
export interface Weigher {
  /** mg/L as N and meq/L, rows · levels a particle. */
  readonly waters: Float32Array;
  /** Common eyes and instruments, and the scores they come from. */
  readonly eyes: Float32Array;
  readonly scores: Float32Array;
  /** How likely each reading was when last weighed, `seenWidth` a particle. */
  readonly seen: Float32Array;
  /** How wide steps other eyes are tried in, one an eye. */
  readonly widths: Float32Array;
  readonly logLikelihoods: Float64Array;
  /**
   * Writes the log likelihoods of particles from the first to the last but one, of all occasions or of those from one to
   * the last but one; may write those of neighbours too.
   */
  weigh(first: number, last: number, from?: number, until?: number): void;
  /**
   * Tries other eyes for particles that were weighed and whose log likelihoods stand here, their water left as it is: the blur
   * first, then one at random, the same for the four of a group. Leaves prior × likelihood^temperature unchanged; writes eyes,
   * scores and log likelihoods.
   */
  lookAgain(first: number, last: number, looks: Looks): void;
}
