import { type Progress, quantileOfSorted, suppose } from '@brinewright/evidence';
import type { Route } from '@brinewright/journal';
import { freeAmmoniaFraction } from '@brinewright/seawater';
import { type Reckoning, reckon } from '../course/reckon.ts';
import { type Band, bandOf } from '../orders/particles.ts';
import { type PlannedTank, plannedAsOf, plannedFacts, type RoutePlan, routePlans } from './plans.ts';

/** What the keeper pays, in a currency of their own; what is not given is not counted. */
export interface Prices {
  /** For one test of one analyte. */
  readonly test?: number;
  /** For a bottle of live culture. */
  readonly culture?: number;
  /** For the media or rock brought in. */
  readonly media?: number;
  /** For the ammonia of the start and its proof. */
  readonly ammonia?: number;
  /** For each day of power, light and water. */
  readonly day?: number;
}

/** Days until ready, over what is usual for such starts; null past the horizon. */
export interface DaysToReady {
  readonly p05: number | null;
  readonly p25: number | null;
  readonly p50: number | null;
  readonly p75: number | null;
  readonly p95: number | null;
}

/** One route for one tank, before anything is known of it. */
export interface RouteOutlook {
  readonly route: Route;
  readonly title: string;
  readonly done: string;
  readonly worry: string;
  readonly usesAnimals: boolean;
  readonly days: DaysToReady;
  /** Probability of being ready by each day, from day 0 to the horizon. */
  readonly byDay: readonly number[];
  /** Tests of one analyte until ready and proven. */
  readonly tests: Band;
  /** Days after that for two challenges in a row; none with animals, who cannot be dosed. */
  readonly proofDays: number;
  /** In the keeper's currency; null where no price was given. */
  readonly cost: Band | null;
  /** What animals meet before it is ready; null where there are none. */
  readonly exposure: {
    /** Hours with un-ionised ammonia above 0.02 mg/L as N, what is no concern for fish. */
    readonly hoursAbove: Band;
    /** Highest un-ionised ammonia, mg NH3-N/L. */
    readonly peak: Band;
    /** Probability that it passes 0.10, an emergency. */
    readonly emergency: number;
  } | null;
}

export interface RouteSettings {
  readonly seed?: number;
  readonly particles?: number;
  /** Days looked ahead. */
  readonly days?: number;
  readonly prices?: Prices;
}

/** Days between test days of an empty start, tests a test day, and tests of the proof (docs/science/advice.md). */
const cadence = { emptyDays: 4, perEmptyDay: 1.4, proof: 4, animalsPerDay: 1.1, animalsAfter: 10 } as const;
const proofDays = 3;
const noConcern = 0.02;
const emergency = 0.1;
const outlookDays = 150;

/** Every route for one tank, from the priors alone; abandon the generator to cancel. */
export function* compareRoutes(
  tank: PlannedTank,
  { seed = 1, particles = 512, days = outlookDays, prices = {} }: RouteSettings = {},
): Generator<Progress, RouteOutlook[]> {
  const found: RouteOutlook[] = [];
  for (const [index, plan] of routePlans.entries()) {
    const steps = reckon(plannedFacts(plan, tank), { asOf: plannedAsOf, seed, particles, days });
    for (;;) {
      const step = steps.next();
      if (step.done) {
        found.push(outlookOf(plan, tank, step.value, days, prices));
        break;
      }
      yield { fraction: (index + step.value.fraction) / routePlans.length, said: plan.title };
    }
  }
  return found;
}

function outlookOf(
  plan: RoutePlan,
  tank: PlannedTank,
  reckoning: Reckoning,
  horizon: number,
  prices: Prices,
): RouteOutlook {
  const { readyDays, particles } = reckoning.trajectories;
  const sorted = readyDays.slice().sort();
  const at = (share: number): number | null => {
    const day = quantileOfSorted(sorted, share);
    return day <= horizon ? Math.round(10 * day) / 10 : null;
  };
  const within = readyDays.map((day) => Math.min(day, horizon));
  const tests = within.map((day) => testsUntil(plan, day));
  return {
    route: plan.route,
    title: plan.title,
    done: plan.done,
    worry: plan.worry,
    usesAnimals: plan.usesAnimals,
    days: { p05: at(0.05), p25: at(0.25), p50: at(0.5), p75: at(0.75), p95: at(0.95) },
    byDay: Array.from(
      { length: horizon + 1 },
      (_, day) => readyDays.filter((ready) => ready <= day).length / particles,
    ),
    tests: bandOf(tests),
    proofDays: plan.usesAnimals ? 0 : proofDays,
    cost: costOf(plan, within, tests, prices),
    exposure: plan.usesAnimals ? exposureOf(tank, reckoning, horizon) : null,
  };
}

const testsUntil = ({ usesAnimals }: RoutePlan, day: number): number =>
  usesAnimals
    ? cadence.animalsPerDay * day + cadence.animalsAfter
    : (cadence.perEmptyDay * day) / cadence.emptyDays + cadence.proof;

function costOf(plan: RoutePlan, days: Float64Array, tests: Float64Array, prices: Prices): Band | null {
  if (Object.keys(prices).length === 0) return null;
  const { test = 0, culture = 0, media = 0, ammonia = 0, day: perDay = 0 } = prices;
  const once =
    (plan.route.endsWith('culture') ? culture : 0) +
    (plan.route === 'mature-media' ? media : 0) +
    (plan.usesAnimals ? 0 : ammonia);
  return bandOf(days.map((day, i) => once + perDay * day + test * tests[i]!));
}

function exposureOf(
  { salinity = 35, temperatureC = 25, pH = 8.1 }: PlannedTank,
  { posterior }: Reckoning,
  horizon: number,
): RouteOutlook['exposure'] {
  const perDay = 4;
  const days = Array.from({ length: perDay * Math.min(horizon, 120) }, (_, i) => (i + 1) / perDay);
  const { ammonia, particles } = suppose(posterior, { days });
  const share = freeAmmoniaFraction({ pH, pHScale: 'NBS', salinity, temperatureC });
  const hours = new Float64Array(particles);
  const peak = new Float64Array(particles);
  for (let row = 0; row < days.length; row++)
    for (let i = 0; i < particles; i++) {
      const level = share * ammonia[row * particles + i]!;
      if (level > noConcern) hours[i] = hours[i]! + 24 / perDay;
      if (level > peak[i]!) peak[i] = level;
    }
  return {
    hoursAbove: bandOf(hours),
    peak: bandOf(peak),
    emergency: peak.filter((level) => level > emergency).length / particles,
  };
}
