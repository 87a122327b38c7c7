import { ended, fit as fitProblem, follow } from '@brinewright/evidence';
import { design, drawTruth } from './own-biology.ts';
import { crps } from './scores.ts';

/** The ready date of a tank of the model's own biology, foretold by one who knows the very equations. */
export interface BestScore {
  readonly asOfDay: number;
  readonly crps: number;
  /** Of the same forecaster before any reading. */
  readonly routeCrps: number;
}

const horizonDays = 120;

/**
 * Draws a tank from the prior, begun with a culture or without, and foretells its ready date from what was read up to each
 * of some days on which it is not ready: as well as these readings allow anybody.
 */
export function bestCase(seed: number, asOfDays: readonly number[], particles: number): BestScore[] {
  const culture = seed % 2 === 0;
  const { truth, observations } = drawTruth(seed, Math.max(...asOfDays), { culture, until: horizonDays });
  const { readyDay } = truth.report;
  if (readyDay >= horizonDays) return [];
  const foretold = (day: number): number => {
    const read = observations.filter((one) => one.day <= day);
    const posterior = ended(fitProblem(design(day, read, culture), { seed, particles }));
    const days = ended(follow(posterior, horizonDays)).readyDays.map((ready) => Math.min(ready, horizonDays));
    return crps(days, readyDay);
  };
  const routeCrps = foretold(0);
  return asOfDays
    .filter((day) => day < readyDay)
    .map((asOfDay) => ({ asOfDay, crps: foretold(asOfDay), routeCrps }));
}
