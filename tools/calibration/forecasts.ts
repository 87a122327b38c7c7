import { type Reckoning, reckon } from '@brinewright/counsel';
import { ended, type Posterior, predictReadings, quantiles } from '@brinewright/evidence';
import type { ReadingBody, Stamped, TankFacts } from '@brinewright/journal';
import type { Case } from './keeper.ts';
import { around, stream } from './random.ts';
import { crps, placeOf, rankedScore } from './scores.ts';

const dayMs = 86_400_000;
const horizonDays = 90;
/** Test days ahead that are foretold. */
const testDaysAhead = 5;
const shares = [0.05, 0.25, 0.5, 0.75, 0.95];

/** One reading that came after a forecast. */
interface ReadingScore {
  readonly name: string;
  readonly analyte: string;
  readonly daysAhead: number;
  readonly place: number;
  /** Inside the discrete 50 % and 90 % intervals, as `predict` states them. */
  readonly inside50: boolean;
  readonly inside90: boolean;
  readonly score: number;
  /** Of the last reading seen again, and of its trend going on (log-linear). */
  readonly persistence: number;
  readonly trend: number;
}

/** One ready date, for a tank that was not ready when the forecast was made. */
interface ReadyScore {
  readonly name: string;
  readonly asOfDay: number;
  readonly place: number;
  readonly crps: number;
  /** Of the spread of the route, before any reading. */
  readonly routeCrps: number;
  /** Of the days that practice gives for the route. */
  readonly practiceCrps: number;
  readonly medianError: number;
}

/** One level of the water itself, known or to come. */
interface WaterScore {
  readonly name: string;
  readonly analyte: 'ammonia' | 'nitrite' | 'nitrate';
  readonly daysAhead: number;
  readonly truth: number;
  readonly place: number;
}

export interface CaseScores {
  readonly water: readonly WaterScore[];
  readonly readings: readonly ReadingScore[];
  readonly ready: readonly ReadyScore[];
}

const until = (facts: TankFacts, at: number): TankFacts => {
  const cut = <T extends { at: number }>(list: readonly T[]): T[] => list.filter((item) => item.at <= at);
  return {
    ...facts,
    readings: cut(facts.readings),
    doses: cut(facts.doses),
    foods: cut(facts.foods),
    cultures: cut(facts.cultures),
    exchanges: cut(facts.exchanges),
  };
};

/** Fits a case at several days of its life and scores what came after. */
export function scoreCase(one: Case, asOfDays: readonly number[], particles: number): CaseScores {
  const water: WaterScore[] = [];
  const readings: ReadingScore[] = [];
  const ready: ReadyScore[] = [];
  const blind = { ...until(one.facts, one.opened), readings: [] };
  const route = ended(reckon(blind, { asOf: one.opened, particles, days: horizonDays + 30 }));
  for (const day of asOfDays) {
    const asOf = one.opened + day * dayMs;
    const fitted = ended(reckon(until(one.facts, asOf), { asOf, particles, days: horizonDays }));
    water.push(...scoreWater(one, fitted, day));
    readings.push(...scoreReadings(one, fitted, asOf));
    if (one.readyDay > day && one.readyDay <= one.lastDay) ready.push(scoreReady(one, fitted, route, day));
  }
  return { water, readings, ready };
}

/** Days to ready at 25 °C as customary sources give them, taken as the middle nine tenths of a lognormal distribution. */
const practice = {
  salt: [30, 60],
  'salt+culture': [10, 30],
  organic: [30, 60],
  'mature-media': [1, 14],
} as const satisfies Record<Case['route'], readonly [number, number]>;
const practiceDraws = 512;

function practiceDays(route: Case['route']): Float64Array {
  const [low, high] = practice[route];
  const spread = Math.log(high / low) / 2 / 1.645;
  const random = stream(low * high, 97);
  return Float64Array.from({ length: practiceDraws }, () => around(random, Math.sqrt(low * high), spread));
}

/** Days from the forecast at which the water is looked at. */
const looks = [0, 2, 5, 10];

function scoreWater(one: Case, fitted: Reckoning, asOfDay: number): WaterScore[] {
  const { days, particles } = fitted.trajectories;
  const nextDose = one.facts.doses.find((dose) => dose.at > one.opened + asOfDay * dayMs)?.at ?? Infinity;
  return looks.flatMap((daysAhead) => {
    const day = asOfDay + daysAhead;
    const row = days.indexOf(day);
    const truth = one.water[day];
    if (!truth || one.opened + day * dayMs >= nextDose) return [];
    return (['ammonia', 'nitrite', 'nitrate'] as const).map((analyte) => {
      const levels = fitted.trajectories[analyte].slice(row * particles, (row + 1) * particles);
      const below = levels.filter((level) => level < truth[analyte]).length;
      return {
        name: one.name,
        analyte,
        daysAhead,
        truth: truth[analyte],
        place: (below + 0.5) / (particles + 1),
      };
    });
  });
}

function scoreReady(one: Case, fitted: Reckoning, route: Reckoning, day: number): ReadyScore {
  const last = one.lastDay + 30;
  const capped = (days: Float64Array): Float64Array => days.map((value) => Math.min(value, last));
  const days = capped(fitted.trajectories.readyDays);
  const below = days.filter((value) => value < one.readyDay).length;
  return {
    name: one.name,
    asOfDay: day,
    place: (below + 0.5) / (days.length + 1),
    crps: crps(days, one.readyDay),
    routeCrps: crps(capped(route.trajectories.readyDays), one.readyDay),
    practiceCrps: crps(practiceDays(one.route), one.readyDay),
    medianError: quantiles(days, [0.5])[0]! - one.readyDay,
  };
}

function scoreReadings(one: Case, fitted: Reckoning, asOf: number): ReadingScore[] {
  const later = one.facts.readings.filter((reading) => reading.at > asOf && reading.analyte !== 'nitrate');
  const testDays = [...new Set(later.map((reading) => reading.at))].slice(0, testDaysAhead);
  // A dose that is not in the journal yet is not foretold: readings after the next one say nothing of the forecast.
  const nextDose = one.facts.doses.find((dose) => dose.at > asOf)?.at ?? Infinity;
  const wanted = later.filter((reading) => testDays.includes(reading.at) && reading.at < nextDose);
  const { problem } = fitted.situation;
  const cases = wanted.flatMap((reading) => {
    const which = problem.instruments.findIndex((instrument) => instrument.analyte === reading.analyte);
    const instrument = problem.instruments[which];
    if (instrument?.form !== 'card') return [];
    return [{ reading, ask: { day: (reading.at - one.opened) / dayMs, instrument, which, dilution: 1 } }];
  });
  const forecasts = predict(
    fitted.posterior,
    cases.map(({ ask }) => ask),
  );
  return cases.map(({ reading, ask }, index) => {
    const { chances, quantiles: levels } = forecasts[index]!;
    const steps = one.facts.kits.get(reading.kit ?? '')?.steps ?? [];
    const shown = steps.indexOf(reading.value ?? 0);
    const level = ask.instrument.steps[shown]!;
    const random = stream(index, Math.round(reading.at / 1e6));
    const naive = naiveSteps(one.facts, reading, asOf, steps.length);
    const inside = (low: number, high: number): boolean => level >= low - 1e-9 && level <= high + 1e-9;
    return {
      name: one.name,
      analyte: reading.analyte,
      daysAhead: (reading.at - asOf) / dayMs,
      place: placeOf(chances, shown, random.uniform()),
      inside50: inside(levels[1]!, levels[3]!),
      inside90: inside(levels[0]!, levels[4]!),
      score: rankedScore(chances, shown),
      persistence: rankedScore(certain(naive.last, steps.length), shown),
      trend: rankedScore(certain(naive.trend, steps.length), shown),
    };
  });
}

const predict = (posterior: Posterior, asks: Parameters<typeof predictReadings>[1]) =>
  predictReadings(posterior, asks, shares);

const certain = (step: number, count: number): number[] =>
  Array.from({ length: count }, (_, index) => (index === step ? 1 : 0));

/** Steps two naive forecasters would name: the last one seen, and the last two going on in a straight line. */
function naiveSteps(facts: TankFacts, reading: Stamped<ReadingBody>, asOf: number, count: number) {
  const steps = facts.kits.get(reading.kit ?? '')?.steps ?? [];
  const seen = facts.readings
    .filter((other) => other.analyte === reading.analyte && other.at <= asOf)
    .slice(-2);
  const [before, last] = seen.length === 2 ? seen : [seen[0], seen[0]];
  const stepOf = (one: typeof last): number => (one ? Math.max(0, steps.indexOf(one.value ?? 0)) : 0);
  const gap = before && last && last.at > before.at ? (reading.at - last.at) / (last.at - before.at) : 0;
  const along = Math.round(stepOf(last) + gap * (stepOf(last) - stepOf(before)));
  return { last: stepOf(last), trend: Math.min(count - 1, Math.max(0, along)) };
}
