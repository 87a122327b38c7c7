import type { Ready } from './reading.ts';

/** Readings taken at one instant: where deeds fell on the same instant, nobody said which came first. */
export interface Occasion {
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

/** Particles are kept in fours, the four numbers of a place side by side, as vectors take them. */
export const lanes = 4;

/** Where the first number of a particle stands in a table of so many places a particle; the next is `lanes` further. */
export const startOf = (particle: number, width: number): number =>
  (particle - (particle % lanes)) * width + (particle % lanes);

/** Copies a particle's numbers from one table to a place in another. */
export function copyParticle(
  from: Float32Array,
  particle: number,
  to: Float32Array,
  place: number,
  width: number,
): void {
  let source = startOf(particle, width);
  let target = startOf(place, width);
  for (let i = 0; i < width; i++, source += lanes, target += lanes) to[target] = from[source]!;
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
  /** Writes the log likelihoods of particles from the first to the last but one; may write those of neighbours too. */
  weigh(first: number, last: number): void;
}
