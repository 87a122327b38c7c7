import type { ReadingBody, Stamped, TankFacts } from '@brinewright/journal';
import type { Measured } from '@brinewright/seawater';
import type { Stage } from '../course/answer.ts';
import type { Reckoning } from '../course/reckon.ts';
import { dateWords, type Wording } from '../course/sentence.ts';
import { stageOf } from '../course/stage.ts';
import { dayMs, type Situation } from '../situation/situation.ts';
import { type Livestock, livestockOf } from '../welfare/livestock.ts';
import { type Band, bandOf, todayOf, valuesOf } from './particles.ts';

/** What is planned with a tank and nowhere in its journal. */
export interface Intent extends Wording {
  /** mg N of total ammonia a day the first animals will bring; a pair of small fish where nobody said. */
  readonly firstLoadMgNPerDay?: number;
}

/** Everything several pieces of advice rest on, read off a reckoning once. */
export interface Bearings {
  readonly reckoning: Reckoning;
  readonly situation: Situation;
  readonly facts: TankFacts;
  readonly intent: Intent;
  /** Epoch milliseconds. */
  readonly asOf: number;
  /** Days since the opening. */
  readonly today: number;
  /** Net litres as the readings leave them possible; undefined where none were ever stated. */
  readonly litres: Measured | undefined;
  readonly temperatureC: number;
  readonly salinity: number;
  readonly stage: Stage;
  /** Probability that the water is ready by the contract's definition. */
  readonly ready: number;
  /** Levels today in every particle, mg/L as N and meq/L. */
  readonly draws: Readonly<Record<Level, Float64Array>>;
  readonly levels: Readonly<Record<Level, Band>>;
  readonly animals: Livestock;
}

type Level = 'ammonia' | 'nitrite' | 'nitrate' | 'alkalinity' | 'freed';

const levelNames = ['ammonia', 'nitrite', 'nitrate', 'alkalinity', 'freed'] as const;

export function bearingsOf(reckoning: Reckoning, intent: Intent = {}): Bearings {
  const { situation, trajectories } = reckoning;
  const { facts, asOf, problem } = situation;
  const draws = record((name) => todayOf(reckoning, name));
  const here = problem.surroundings.at(-1);
  return {
    reckoning,
    situation,
    facts,
    intent,
    asOf,
    today: problem.today,
    litres: litresOf(reckoning),
    temperatureC: here?.temperatureC ?? 25,
    salinity: problem.salinity,
    stage: stageOf(reckoning),
    ready: situation.neverFed
      ? 0
      : trajectories.readyDays.filter((day) => day <= problem.today).length / trajectories.particles,
    draws,
    levels: record((name) => bandOf(draws[name])),
    animals: livestockOf(facts, asOf),
  };
}

const record = <T>(of: (name: Level) => T): Record<Level, T> => {
  const [ammonia, nitrite, nitrate, alkalinity, freed] = levelNames.map(of) as [T, T, T, T, T];
  return { ammonia, nitrite, nitrate, alkalinity, freed };
};

/** The litres stated, corrected by what doses and readings said of them. */
function litresOf({ situation, posterior }: Reckoning): Measured | undefined {
  const stated = situation.facts.litres;
  const factor = valuesOf(posterior, 'volume');
  if (!stated || !factor) return undefined;
  const { p05, p50, p95 } = bandOf(factor);
  return { value: stated.value * p50, sd: (stated.value * (p95 - p05)) / 3.29 };
}

/** RFC 3339 instant of a day since the opening. */
export const instantOf = ({ situation }: Bearings, day: number): string =>
  new Date(Math.round(situation.opened + day * dayMs)).toISOString();

export const hoursFrom = ({ asOf }: Bearings, hours: number): string =>
  new Date(asOf + hours * 3_600_000).toISOString();

/** "27 Feb" in the keeper's zone. */
export const dayWords = ({ intent }: Bearings, instant: string): string => dateWords(instant, intent);

/** The last reading of something, taken within so many days. */
export const lastReading = (
  { facts, asOf }: Bearings,
  analyte: string,
  withinDays = Infinity,
): Stamped<ReadingBody> | undefined =>
  facts.readings.findLast(
    (reading) => reading.analyte === analyte && reading.at <= asOf && asOf - reading.at <= withinDays * dayMs,
  );

export const hoursSince = ({ asOf }: Bearings, at: number | undefined): number =>
  at === undefined ? Infinity : (asOf - at) / 3_600_000;

/**
 * The instant of the keeper's usual testing hour on a later day (0: the next such hour), counted from now or another
 * instant, so that advice given an hour later names the same instant.
 */
export function usualHour(bearings: Bearings, daysAhead: number, from = bearings.asOf): string {
  const { facts, situation } = bearings;
  const hours = facts.readings.map(({ at }) => at % dayMs).sort((a, b) => a - b);
  const usual = hours[Math.floor(hours.length / 2)] ?? situation.opened % dayMs;
  const midnight = from - (from % dayMs);
  const first = midnight + usual >= from ? midnight + usual : midnight + usual + dayMs;
  return new Date(first + daysAhead * dayMs).toISOString();
}

/** Epoch milliseconds of the last thing that was done to or read of the water. */
export function lastEvent({ facts, asOf, situation }: Bearings): number {
  const lists = [facts.readings, facts.doses, facts.exchanges, facts.cultures, facts.foods, facts.arrivals];
  return lists.flat().reduce((last, { at }) => (at <= asOf ? Math.max(last, at) : last), situation.opened);
}
