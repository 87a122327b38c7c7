import { log, type Plan } from '@brinewright/nitrogen';
import type { Ready } from '../observe/reading.ts';
import type { Watch } from './watch.ts';

/** Part of a run between two looks at how likely what was read has become so far. */
export interface Stage {
  /** Stops passed, occasions weighed and rows of water written by its end. */
  readonly stops: number;
  readonly occasions: number;
  readonly rows: number;
  /** Most that the readings still to come can add to a log likelihood. */
  readonly mostAfter: number;
}

/** Stages of a run with many occasions. Each look costs little, but so does each stretch that it may save. */
const mostStages = 6;

/** Cuts a run into stages of about as many occasions each; the last goes to the end. */
export function stagesOf({ days }: Plan, { occasions }: Watch, readings: readonly Ready[]): Stage[] {
  const count = Math.max(1, Math.min(mostStages, occasions.length));
  const most = readings.map(mostLogLikelihood);
  return Array.from({ length: count }, (_, i): Stage => {
    const done = Math.round(((i + 1) * occasions.length) / count);
    const last = occasions[done - 1];
    const after = most.slice(last?.end ?? 0).reduce((sum, value) => sum + value, 0);
    return {
      stops: i === count - 1 ? days.length : days.findIndex((day) => day > last!.day),
      occasions: done,
      rows: (last?.after ?? -1) + 1,
      mostAfter: after,
    };
  });
}

/** Log of the most that the likelihood of a reading can be: 1 for a step of a card, the peak of a meter's density. */
const mostLogLikelihood = ({ metered, floor, held, slipped }: Ready): number =>
  metered ? log(held / (floor * Math.sqrt(2 * Math.PI)) + slipped) : 0;
