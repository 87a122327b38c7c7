/** Linear-interpolated quantile of ascending numbers (Hyndman & Fan type 7). Infinity stays Infinity. */
export function quantileOfSorted(sorted: Float64Array, share: number): number {
  const place = share * (sorted.length - 1);
  const below = Math.floor(place);
  const low = sorted[below]!;
  const high = sorted[Math.min(below + 1, sorted.length - 1)]!;
  return high === Infinity ? (place > below ? Infinity : low) : low + (place - below) * (high - low);
}

/** Quantiles of numbers in any order. */
export function quantiles(values: Float64Array, shares: readonly number[]): number[] {
  const sorted = values.slice().sort();
  return shares.map((share) => quantileOfSorted(sorted, share));
}
