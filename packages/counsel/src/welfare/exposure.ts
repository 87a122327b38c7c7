import { suppose } from '@brinewright/evidence';
import { asNitrogen, type ReadingBody } from '@brinewright/journal';
import { freeAmmoniaFraction } from '@brinewright/seawater';
import type { Reckoning } from '../course/reckon.ts';
import { type Band, bandOf, rowOf } from '../orders/particles.ts';
import { dayMs, type Situation } from '../situation/situation.ts';
import type { Livestock } from './livestock.ts';

/** The pH advice goes by. */
interface KnownPH {
  readonly value: number;
  /** False where nobody measured lately: then it is assumed high, since a high pH is what makes ammonia poisonous. */
  readonly measured: boolean;
  readonly entry?: string;
}

/** A running mean up to now. */
interface Mean {
  readonly hours: number;
  readonly band: Band;
  readonly upper: number;
  /** The same from the readings alone, straight lines between them; undefined where there are none of two days. */
  readonly read: number | undefined;
}

/** Un-ionised ammonia the animals have met and will meet, mg NH3-N/L. */
export interface Exposure {
  readonly pH: KnownPH;
  /** Running means up to now over the last hours; `upper` takes the doubt of the pH in as well. */
  readonly means: readonly Mean[];
  /** Total ammonia last read, mg N/L; undefined where nobody read it within two days. */
  readonly lastRead: number | undefined;
  /** Mean of the day to come, nothing done; `upper` as above. */
  readonly tomorrow: Band & { readonly upper: number };
  /** Hours of the last four days in which the middle estimate lay above a level. */
  readonly hoursAbove: (level: number) => number;
  /** Share of total ammonia that is un-ionised now. */
  readonly share: number;
}

/** Days after which a pH no longer speaks for the water. */
const pHHoldsDays = 7;
const pHSeenDays = 14;
/** Assumed where no pH is known (docs/science/advice.md): the high end of ordinary tanks. */
const assumedPH = 8.3;
/** What a colour test of pH may be off by. */
const pHDoubt = 0.1;
const windows = [1, 24, 96] as const;
/** Hours looked ahead, nothing done. */
export const hoursAhead = 24;

function pHOf({ facts, asOf }: Situation): KnownPH {
  const readings = facts.readings.filter(
    ({ analyte, value, at }) => analyte === 'pH' && value !== undefined && at <= asOf,
  );
  const last = readings.at(-1);
  if (last && asOf - last.at <= pHHoldsDays * dayMs)
    return { value: last.value!, measured: true, entry: last.entry };
  const seen = readings.filter(({ at }) => asOf - at <= pHSeenDays * dayMs).map(({ value }) => value!);
  return { value: Math.max(assumedPH, ...seen), measured: false };
}

/** Exposure of the animals present, from every particle's course over the last four days and the next one. */
export function exposureOf({ situation, posterior }: Reckoning, animals: Livestock): Exposure | undefined {
  if (!animals.present) return undefined;
  const { problem, facts, opened } = situation;
  const { today } = problem;
  const arrived = facts.arrivals[0] ? Math.max(0, (facts.arrivals[0].at - opened) / dayMs) : 0;
  const reach = Math.min(Math.floor(24 * Math.max(0, today - arrived)), windows[2]);
  const days = Array.from({ length: reach + 1 + hoursAhead }, (_, i) => today + (i - reach) / 24);
  const { ammonia, particles } = suppose(posterior, { days });
  const pH = pHOf(situation);
  const shareAt = (day: number, higher = 0): number => {
    const here = problem.surroundings[Math.min(problem.surroundings.length - 1, Math.floor(day))]!;
    return freeAmmoniaFraction({
      pH: (pH.measured ? here.pH : pH.value) + higher,
      pHScale: 'NBS',
      salinity: here.salinity,
      temperatureC: here.temperatureC,
    });
  };
  const share = freeAmmoniaFraction({
    pH: pH.value,
    pHScale: 'NBS',
    salinity: problem.salinity,
    temperatureC: problem.surroundings.at(-1)?.temperatureC ?? 25,
  });
  const doubt = pH.measured ? shareAt(today, pHDoubt) / shareAt(today) : 1;
  const shares = days.map((day) => (day > today ? share : shareAt(day)));
  const meanOver = (from: number, to: number): Band => {
    const sums = new Float64Array(particles);
    for (let row = from; row <= to; row++)
      for (let i = 0; i < particles; i++)
        sums[i] = sums[i]! + (shares[row]! * ammonia[row * particles + i]!) / (to - from + 1);
    return bandOf(sums);
  };
  const middles = Array.from(
    { length: reach },
    (_, row) => shares[row]! * bandOf(rowOf(ammonia, row, particles)).p50,
  );
  const line = readingLine(situation);
  const readMean = (hours: number): number | undefined => {
    if (!line) return undefined;
    const rows = days.slice(Math.max(0, reach - hours), reach + 1);
    const from = Math.max(0, reach - hours);
    return rows.reduce((sum, day, i) => sum + (shares[from + i]! * line(day)) / rows.length, 0);
  };
  const tomorrow = meanOver(reach, reach + hoursAhead);
  return {
    pH,
    share,
    lastRead: line?.(today),
    means: windows.map((hours) => {
      const band = meanOver(Math.max(0, reach - hours), reach);
      return { hours, band, upper: band.p95 * doubt, read: readMean(hours) };
    }),
    tomorrow: { ...tomorrow, upper: tomorrow.p95 * doubt },
    hoursAbove: (level) => middles.filter((value) => value > level).length,
  };
}

const readHoldsDays = 2;

/** Total ammonia as it was read, mg N/L, by straight lines between readings, level beyond them. */
function readingLine({ facts, opened, asOf }: Situation): ((day: number) => number) | undefined {
  const points = facts.readings
    .filter(({ analyte, at }) => analyte === 'ammonia' && at <= asOf)
    .map((reading) => ({ day: (reading.at - opened) / dayMs, level: levelRead(reading) }));
  const last = points.at(-1);
  if (!last || (asOf - opened) / dayMs - last.day > readHoldsDays) return undefined;
  return (day) => {
    const next = points.findIndex((point) => point.day >= day);
    const [a, b] = [points[next - 1], points[next]];
    if (!b) return last.level;
    return a ? a.level + ((b.level - a.level) * (day - a.day)) / (b.day - a.day) : b.level;
  };
}

/** The level a reading of ammonia stands for, mg N/L; past the end of a card at least its end. */
export function levelRead({ value, between, over, under, as, dilution }: ReadingBody): number {
  const middle = between ? (between[0] + between[1]) / 2 : (value ?? over ?? (under ?? 0) / 2);
  return asNitrogen(middle, as ?? 'N') * (dilution ?? 1);
}
