import {
  ended,
  type FitSettings,
  fit as fitting,
  follow,
  type Instrument,
  type Observation,
  type Posterior,
  type Problem,
  stepInterval,
  update,
} from '@brinewright/evidence';
import { randomOf } from './tanks.ts';

/** Cards of drop tests, mg/L as N. */
const cards = [
  { form: 'card', analyte: 'ammonia', steps: [0, 0.25, 0.5, 1, 2, 4, 8].map((step) => step * 0.822) },
  { form: 'card', analyte: 'nitrite', steps: [0, 0.25, 0.5, 1, 2, 5].map((step) => step * 0.304) },
  { form: 'card', analyte: 'nitrate', steps: [0, 5, 10, 20, 40, 80].map((step) => step * 0.226) },
] as const satisfies readonly Instrument[];

/** Steps of the three cards read on a day of a start-up that takes about 36 days: ammonia, nitrite, nitrate. */
function stepsOn(day: number): readonly [number, number, number] {
  const ammonia = day < 16 ? 4 : day < 19 ? 3 : day < 22 ? 1 : 0;
  const nitrite = day < 13 ? 0 : day < 18 ? 2 : day < 34 ? 5 : day < 36 ? 3 : day < 39 ? 1 : 0;
  const nitrate = day < 18 ? 0 : day < 27 ? 2 : 3;
  return [ammonia, nitrite, nitrate];
}

/**
 * A dosed tank of the teaching station, all three tests every few days. Each reading is right unless a reader is given,
 * who takes the step above or below with the chance named: readings that agree to the last one leave a narrow set of
 * courses and are the dearest to fit.
 */
export function journalOf(
  days: number,
  every = 3,
  animalsFrom = 40,
  reader?: { readonly offByOne: number; readonly seed: number },
): Problem {
  const random = reader && randomOf(reader.seed);
  const readAs = (step: number, top: number): number => {
    if (!random || random.uniform() >= reader.offByOne) return step;
    return Math.min(top, Math.max(0, step + (random.uniform() < 0.5 ? 1 : -1)));
  };
  const testDays = Array.from({ length: Math.floor(days / every) }, (_, i) => every * (i + 1));
  const observations = testDays.flatMap((day) =>
    stepsOn(day).map((step, instrument): Observation => {
      const { steps } = cards[instrument]!;
      const { low, high } = stepInterval(steps, readAs(step, steps.length - 1));
      return { day, instrument, low, high, shown: low, dilution: 1 };
    }),
  );
  return {
    start: 'wild',
    salinity: 35,
    today: days,
    volumeSpread: 0.05,
    alkalinity: { value: 2.5, sd: 0.2 },
    surroundings: [{ temperatureC: 25.5, pH: 8.1, salinity: 35, oxygenMgL: 6.7 }],
    unsizedAnimals: false,
    deeds: [
      { kind: 'ammonia', day: 0, size: { form: 'known', amount: 2 } },
      ...(days > animalsFrom ? [{ kind: 'load', day: animalsFrom, perDay: 0.05 } as const] : []),
    ],
    sources: [],
    instruments: cards,
    observations,
  };
}

export interface Timed<T> {
  readonly ms: number;
  readonly value: T;
}

/** Processor time of this process so far, ms, compiling and collecting garbage included. */
export function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** Least processor time of several: other programs use the machine too. */
export function timed<T>(times: number, go: () => T): Timed<T> {
  let ms = Infinity;
  let value: T | undefined;
  for (let i = 0; i < times; i++) {
    const began = processorMs();
    value = go();
    ms = Math.min(ms, processorMs() - began);
  }
  return { ms, value: value as T };
}

export const coldFit = (problem: Problem, settings: Partial<FitSettings> = {}): Posterior =>
  ended(fitting(problem, settings));

/** Longest processor time between two chances to stop, ms. */
export function longestPause(problem: Problem): number {
  const steps = fitting(problem);
  let longest = 0;
  for (let began = processorMs(); ; ) {
    const { done } = steps.next();
    const now = processorMs();
    longest = Math.max(longest, now - began);
    began = now;
    if (done) return longest;
  }
}

/** A problem as it was on its last but one test day. */
export function withoutLastDay(problem: Problem): Problem {
  const last = problem.observations.at(-1)!.day;
  const before = problem.observations.filter(({ day }) => day < last);
  return { ...problem, today: before.at(-1)!.day, observations: before };
}

/** Takes the last test day's readings in. */
export function lastUpdate(problem: Problem, times: number): Timed<Posterior> {
  const earlier = coldFit(withoutLastDay(problem));
  return timed(times, () => ended(update(earlier, problem)));
}

export const lookAhead = (posterior: Posterior, days: number) =>
  ended(follow(posterior, posterior.model.problem.today + days));
