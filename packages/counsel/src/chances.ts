/** A probability as a share of ten, for a sentence: "6 in 10". */
export function inTen(probability: number): string {
  if (probability < 0.05) return 'hardly any chance';
  if (probability > 0.95) return 'almost certain';
  return `${Math.round(10 * probability)} in 10`;
}

/** The same in a hundred: "57 in 100", never more than is so, and never none or all. */
export const inHundred = (probability: number): string =>
  probability < 0.01 ? 'under 1 in 100' : `${Math.min(99, Math.floor(100 * probability))} in 100`;
