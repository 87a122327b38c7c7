import { log, type Plan } from '@brinewright/nitrogen';
import { normalCdf } from '../numbers/normal.ts';
import type { Ready } from '../observe/reading.ts';
import type { Watch } from './watch.ts';

/** Part of a run between two looks at how likely what was read has become so far. */
export interface Stage {
  /** Stops passed, occasions weighed and rows of water written by its end. */
  readonly stops: number;
  readonly occasions: number;
  readonly rows: number;
  /** Most that the readings still to come can add to a log likelihood where the reader's eye is so blurred. */
  mostAfter(blur: number): number;
}

/** Stages of a run with many occasions. Each look costs little, but so does each stretch that it may save. */
const mostStages = 6;

/** Cuts a run into stages of about as many occasions each; the last goes to the end. */
export function stagesOf({ days }: Plan, { occasions }: Watch, readings: readonly Ready[]): Stage[] {
  const count = Math.max(1, Math.min(mostStages, occasions.length));
  const most = readings.map(mostByBlur);
  return Array.from({ length: count }, (_, i): Stage => {
    const done = Math.round(((i + 1) * occasions.length) / count);
    const last = occasions[done - 1];
    const later = most.slice(last?.end ?? 0);
    const after = Array.from({ length: blurs }, (_, blur) =>
      later.reduce((sum, each) => sum + each[blur]!, 0),
    );
    return {
      stops: i === count - 1 ? days.length : days.findIndex((day) => day > last!.day),
      occasions: done,
      rows: (last?.after ?? -1) + 1,
      mostAfter: (blur) => after[Math.min(blurs - 1, Math.floor(blur / blurStep))]!,
    };
  });
}

/** Blurs the most is reckoned for; a sharper eye is surer, so that the next lower one stands for those between. */
const blurs = 100;
const blurStep = 0.01;

const mostByBlur = (reading: Ready): Float64Array =>
  Float64Array.from({ length: blurs }, (_, i) => mostLogLikelihood(reading, i * blurStep));

/**
 * Log of the most that the likelihood of a reading can be: a card read in water at the middle of its step, a meter at the
 * peak of its density.
 */
export function mostLogLikelihood(
  { metered, low, high, moreBlur, floor, ifFailed, held, slipped }: Ready,
  blur: number,
): number {
  if (metered) return log(held / (floor * Math.sqrt(2 * Math.PI)) + slipped);
  const spread = blur + moreBlur;
  const chance = spread > 0 ? 2 * normalCdf((high - low) / 2 / spread) - 1 : 1;
  return log(held * Math.max(chance, ifFailed) + slipped);
}
