import { exp, log } from '@brinewright/nitrogen';

/** A card's steps as the intervals of levels a reader means by them, in the card's own unit. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** Level midway between two on the scale ln(c + offset). */
const midway = (a: number, b: number, offset: number): number =>
  exp((log(a + offset) + log(b + offset)) / 2) - offset;

/** Half the first step above zero. */
export const cardOffset = (steps: readonly number[]): number => (steps.find((step) => step > 0) ?? 0.2) / 2;

/** Interval of a step of a card, open below the first and above the last. Shape: `steps` ascending, index within. */
export function stepInterval(steps: readonly number[], index: number): Interval {
  const offset = cardOffset(steps);
  const here = steps[index]!;
  const below = steps[index - 1];
  const above = steps[index + 1];
  return {
    low: below === undefined ? -Infinity : midway(below, here, offset),
    high: above === undefined ? Infinity : midway(here, above, offset),
  };
}

/** Level a share of the way from a to b on the scale ln(c + offset). */
const along = (a: number, b: number, share: number, offset: number): number =>
  exp((1 - share) * log(a + offset) + share * log(b + offset)) - offset;

/** Interval of a reading "between a and b": the middle half of the way from one to the other. */
export function betweenInterval(a: number, b: number, offset: number): Interval {
  return { low: along(a, b, 0.25, offset), high: along(a, b, 0.75, offset) };
}

/**
 * Interval of a number read on a card: its step, or, where the reader interpolated, a place between two steps.
 * Numbers beyond the card mean its end.
 */
export function valueInterval(steps: readonly number[], value: number): Interval {
  const nearest = steps.findIndex((step) => Math.abs(step - value) <= 1e-6 * Math.max(1, step));
  if (nearest >= 0) return stepInterval(steps, nearest);
  const above = steps.findIndex((step) => step > value);
  if (above < 0) return { low: steps.at(-1) ?? 0, high: Infinity };
  if (above === 0) return stepInterval(steps, 0);
  const [a, b] = [steps[above - 1]!, steps[above]!];
  const offset = cardOffset(steps);
  const share = log((value + offset) / (a + offset)) / log((b + offset) / (a + offset));
  return {
    low: along(a, b, Math.max(0, share - 0.25), offset),
    high: along(a, b, Math.min(1, share + 0.25), offset),
  };
}

/** Interval of a number read by eye with no card known: as fine as a card of steps a half apart. */
export function eyeInterval(value: number, offset: number): Interval {
  const half = 1.25;
  if (value <= offset / 2) return { low: -Infinity, high: offset };
  return { low: (value + offset) / half - offset, high: (value + offset) * half - offset };
}
