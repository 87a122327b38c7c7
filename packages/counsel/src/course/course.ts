import { quantileOfSorted, type Trajectories } from '@brinewright/evidence';
import { stateIndex, stateWidth } from '@brinewright/nitrogen';
import { dayMs, type Situation } from '../situation/situation.ts';
import type { BandPoint, CapacityBand, Course, Nutrient, Ready, Series } from './answer.ts';
import type { Reckoning } from './reckon.ts';
import { stageOf } from './stage.ts';

const bandShares = [0.05, 0.25, 0.5, 0.75, 0.95] as const;

/** Nominal seconds of one derivative evaluation on the reference machine (docs/decisions/0002-nominal-seconds.md). */
const nominalSecondsPerEvaluation = 1e-7;

/** Seven significant digits: more than the particles carry, and the same text everywhere. */
export const tidy = (value: number): number => Number(value.toPrecision(7));

const instantAt = (situation: Situation, day: number): string =>
  new Date(Math.round(situation.opened + day * dayMs)).toISOString();

/** The answer of `course`: where the tank stands and where it goes. */
export function courseOf(reckoning: Reckoning): Course {
  const { situation, posterior, trajectories } = reckoning;
  const { diagnostics, logEvidence } = posterior;
  return {
    tank: situation.facts.tank,
    asOf: new Date(situation.asOf).toISOString(),
    stage: stageOf(reckoning),
    ready: readyOf(situation, trajectories),
    series: allSeries(situation, trajectories),
    capacity: { ammonia: capacityOf(trajectories, 'A'), nitrite: capacityOf(trajectories, 'N') },
    fit: {
      effectiveSamples: Math.round(diagnostics.effectiveSamples),
      logEvidence: tidy(logEvidence),
      seconds: tidy(diagnostics.evaluations * nominalSecondsPerEvaluation),
      readingsUsed: situation.problem.observations.length,
      warnings: [
        ...(situation.neverFed ? [neverFedWarning] : []),
        ...situation.warnings,
        ...diagnostics.warnings,
      ],
    },
  };
}

export const neverFedWarning =
  'no ready date: nothing has been fed to this tank and no reading shows nitrogen being turned over, so clear water proves nothing';

/** When the water is ready. `neverFed` water proves nothing, and so has no date. */
export function readyOf(
  situation: Situation,
  { readyDays, particles, days }: Trajectories,
  neverFed = situation.neverFed,
): Ready {
  const horizon = days.at(-1) ?? 0;
  const byDay = Array.from(days, (day) => ({
    at: instantAt(situation, day),
    probability: neverFed ? 0 : tidy(readyDays.filter((ready) => ready <= day).length / particles),
  })).filter((_, index) => days[index]! >= situation.problem.today);
  if (neverFed) return { p05: null, p50: null, p95: null, byDay };
  const sorted = readyDays.slice().sort();
  const at = (share: number): string | null => {
    const day = quantileOfSorted(sorted, share);
    return day <= horizon ? instantAt(situation, day) : null;
  };
  return { p05: at(0.05), p50: at(0.5), p95: at(0.95), byDay };
}

export const allSeries = (situation: Situation, trajectories: Trajectories): Series[] =>
  (['ammonia', 'nitrite', 'nitrate'] as const).map((analyte) => seriesOf(situation, trajectories, analyte));

function seriesOf(situation: Situation, trajectories: Trajectories, analyte: Nutrient): Series {
  const { days, particles } = trajectories;
  const points = Array.from(days, (day, index): BandPoint => {
    const sorted = trajectories[analyte].slice(index * particles, (index + 1) * particles).sort();
    const [p05, p25, p50, p75, p95] = bandShares.map((share) => tidy(quantileOfSorted(sorted, share)));
    return { at: instantAt(situation, day), p05: p05!, p25: p25!, p50: p50!, p75: p75!, p95: p95! };
  });
  return { analyte, as: 'N', unit: 'mg/L', points };
}

/** Capacity that is awake today, mg N/L/d at 25 °C with food in plenty. */
function capacityOf({ today, particles }: Trajectories, group: 'A' | 'N'): CapacityBand {
  const sorted = Float64Array.from({ length: particles }, (_, i) => {
    const row = i * stateWidth;
    return today[row + stateIndex[`capacity${group}`]]! * today[row + stateIndex[`awake${group}`]]!;
  }).sort();
  const [p05, p50, p95] = [0.05, 0.5, 0.95].map((share) => tidy(quantileOfSorted(sorted, share)));
  return { unit: 'mg N/L/d', p05: p05!, p50: p50!, p95: p95! };
}
