/** Continuous ranked probability score of an ensemble (fair form, Ferro 2014) in the unit of the thing; lower is better. */
export function crps(ensemble: Float64Array, truth: number): number {
  const sorted = ensemble.slice().sort();
  const n = sorted.length;
  let near = 0;
  let spread = 0;
  for (let i = 0; i < n; i++) {
    near += Math.abs(sorted[i]! - truth);
    spread += sorted[i]! * (2 * i - n + 1);
  }
  return near / n - spread / (n * (n - 1));
}

/** Ranked probability score over the steps of a card, in steps. */
export function rankedScore(chances: readonly number[], shown: number): number {
  let cumulative = 0;
  return chances.reduce((sum, chance, step) => {
    cumulative += chance;
    return sum + (cumulative - (shown <= step ? 1 : 0)) ** 2;
  }, 0);
}

/**
 * Where a step falls in its forecast: a uniform number within the step's own share of the distribution, so that a
 * calibrated forecast gives uniform numbers however coarse the card (Czado, Gneiting & Held 2009). `u` on (0, 1).
 */
export function placeOf(chances: readonly number[], shown: number, u: number): number {
  const below = chances.slice(0, shown).reduce((sum, chance) => sum + chance, 0);
  return below + u * chances[shown]!;
}

/** Share of places inside the central band of a width. */
export const insideBand = (places: readonly number[], width: number): number =>
  places.filter((place) => Math.abs(place - 0.5) <= width / 2).length / places.length;

/** Pearson's statistic of ranks over equal bins against uniform, with its degrees of freedom. */
export function uniformity(places: readonly number[], bins: number): { statistic: number; freedom: number } {
  const counts = new Array<number>(bins).fill(0);
  for (const place of places) {
    const bin = Math.min(bins - 1, Math.floor(place * bins));
    counts[bin] = counts[bin]! + 1;
  }
  const expected = places.length / bins;
  return {
    statistic: counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0),
    freedom: bins - 1,
  };
}

/**
 * Upper tail of the chi-square distribution by Wilson and Hilferty's cube root (1931), good to about 0.002 for ten and
 * more degrees of freedom. Check: (18.307, 10) → 0.05.
 */
export function chiSquareTail(statistic: number, freedom: number): number {
  const spread = 2 / (9 * freedom);
  const z = (Math.cbrt(statistic / freedom) - (1 - spread)) / Math.sqrt(spread);
  return normalTail(z);
}

function normalTail(z: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const series =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = 0.3989422804 * Math.exp((-z * z) / 2) * series;
  return z > 0 ? tail : 1 - tail;
}

export const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
