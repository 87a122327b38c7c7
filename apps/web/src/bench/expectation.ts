import type { Prediction } from '@brinewright/counsel';
import type { ReadingBody } from '@brinewright/journal';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';

/** The steps that hold nine readings in ten, or the range of a meter. */
export interface Expectation {
  readonly low: number;
  readonly high: number;
  readonly onCard: boolean;
}

export function expectationOf(prediction: Prediction): Expectation {
  const { quantiles, steps } = prediction;
  if (steps === undefined || steps.length === 0)
    return { low: Math.max(0, quantiles['0.05']), high: quantiles['0.95'], onCard: false };
  let below = 0;
  const inside = steps.filter(({ probability }) => {
    const [from, to] = [below, below + probability];
    below = to;
    return to > 0.05 && from < 0.95;
  });
  const likely = inside.length > 0 ? inside : steps;
  return { low: likely[0]!.value, high: likely[likely.length - 1]!.value, onCard: true };
}

/** "Expected between 1 and 2 on the card (9 in 10)." */
export function sayExpectation({ low, high, onCard }: Expectation, numbers: Numbers): string {
  const print = onCard ? numbers.plain : numbers.level;
  if (!onCard) return words.bench.expected(words.bench.expectedNumber(print(low), print(high)));
  return words.bench.expected(
    low === high
      ? words.bench.expectedStep(print(low))
      : words.bench.expectedBetween(print(low), print(high)),
  );
}

/** True where a reading lies wholly outside what was expected of it at its dilution. */
export function isUnexpected(body: ReadingBody, { low, high }: Expectation): boolean {
  const from = body.between?.[0] ?? body.over ?? body.value ?? Number.NEGATIVE_INFINITY;
  const to = body.between?.[1] ?? body.under ?? body.value ?? Number.POSITIVE_INFINITY;
  return from > high || to < low;
}
