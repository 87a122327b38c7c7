import { exp, type Prior, valueAt } from '@brinewright/nitrogen';

/** A group of bacteria brought in: the coordinates of its size, its growth, its half-saturation and its waking. */
export interface Ridge {
  readonly size: number;
  readonly growth: number;
  readonly half: number;
  readonly wake: number;
}

/**
 * How many bacteria there were at first hardly shows; how many there are on the day they become noticed does, and that is
 * the first number times an exponential of their growth until then: of how fast they can grow, how well they were fed, how
 * lively they were and how long they slept. Readings so draw the particles out along a bent ridge, which no cloud of an
 * ellipse's shape fits. A shear straightens it: the score of an inoculum less a multiple of the growth between two days.
 * It moves no volume, so that densities stay as they are. One leaning shears one inoculum.
 */
export interface Leaning extends Ridge {
  readonly slope: number;
  /** mg N/L of their food they are taken to have had. */
  readonly fed: number;
  /** Days from when they came to the first of the two days. */
  readonly after: number;
  /** Spells between the two days: the coordinate of the vigour in each, and its days. */
  readonly lively: readonly { readonly vigour: number; readonly days: number }[];
}

/** Straightens (−1) or bends (1) a particle's scores, in place. */
export function lean(
  leanings: readonly Leaning[],
  priors: readonly Prior[],
  scores: Float64Array,
  sign: 1 | -1,
): void {
  const value = (place: number): number => valueAt(priors[place]!, scores[place]!);
  for (const leaning of leanings) {
    const { size, slope } = leaning;
    scores[size] = scores[size]! + sign * slope * growthOf(leaning, value);
  }
}

/** Growth between a leaning's two days, as a logarithm. */
function growthOf(
  { growth, half, wake, fed, after, lively }: Leaning,
  value: (place: number) => number,
): number {
  const perDay = -1 / value(wake);
  let asleep = exp(after * perDay);
  let awakeDays = 0;
  for (const { vigour, days } of lively) {
    const later = asleep * exp(days * perDay);
    awakeDays += value(vigour) * (days + (asleep - later) / perDay);
    asleep = later;
  }
  return ((value(growth) * fed) / (fed + value(half))) * awakeDays;
}
