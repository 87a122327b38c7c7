import type { Deed } from '@brinewright/evidence';
import { asNitrogen, type ReadingBody, type Stamped, type TankFacts } from '@brinewright/journal';
import { isNitrogen, usualBasis } from './readings.ts';
import { salinityOf } from './surroundings.ts';

/**
 * An old tank's late stretch: where the fit begins once the start-up is long proven
 * (docs/decisions/0024-old-tanks-from-late-on.md).
 */
export interface LateStretch {
  /** The facts of the stretch: its first instant stands as the opening, earlier readings and deeds are left out. */
  readonly facts: TankFacts;
  /** Epoch milliseconds. */
  readonly from: number;
  /** What the last reading before it found in the water. */
  readonly carried: readonly Deed[];
}

const dayMs = 86_400_000;
/** A tank is followed from its opening through its first year. */
const wholeDays = 365;
/** A stretch begins at a multiple of this from the opening, so that one fit is carried on from reading to reading. */
const stepDays = 60;
/** The least that a stretch reaches back: time enough for the readings of a quiet tank to say how it fares. */
const leastDays = 120;
/** Days before its beginning in which the tank must have been fed and its water clear. */
const provenDays = 60;
/** mg N/L of ammonia or nitrite that a reading of clear water stays below. */
const clearBelow = 0.1;

/** The late stretch of a tank at an instant (epoch ms); undefined where it is young, or was not clear for long enough. */
export function lateStretch(facts: TankFacts, asOf: number): LateStretch | undefined {
  const { opened } = facts;
  if (opened === undefined || asOf - opened < wholeDays * dayMs) return undefined;
  const latest = Math.floor((asOf - opened - leastDays * dayMs) / (stepDays * dayMs));
  for (let step = latest; step >= wholeDays / 2 / stepDays; step--) {
    const from = opened + step * stepDays * dayMs;
    if (proven(facts, from)) return { facts: since(facts, from), from, carried: carriedInto(facts, from) };
  }
  return undefined;
}

/** Fed for long, and clear by every reading of two months, of which there was one at least since it was fed. */
function proven(facts: TankFacts, at: number): boolean {
  const before = at - provenDays * dayMs;
  const fed = Math.min(facts.foods[0]?.at ?? Infinity, facts.arrivals[0]?.at ?? Infinity);
  if (fed > before) return false;
  const read = facts.readings.filter(
    (reading) => (reading.analyte === 'ammonia' || reading.analyte === 'nitrite') && reading.at < at,
  );
  const late = read.filter((reading) => reading.at >= before);
  return read.some((reading) => reading.at > fed && isClear(reading)) && late.every(isClear);
}

const isClear = (reading: Stamped<ReadingBody>): boolean => shownLevel(reading) < clearBelow;

/** The least a reading speaks of, mg N/L. */
function shownLevel({ analyte, as, value, over, between, dilution }: ReadingBody): number {
  const shown = (value ?? over ?? between?.[0] ?? 0) * (dilution ?? 1);
  return isNitrogen(analyte) ? asNitrogen(shown, as ?? usualBasis[analyte]) : 0;
}

/** What a reading of the surroundings shortly before still says of the first days. */
const surroundings: ReadonlySet<string> = new Set(['temperature', 'pH', 'oxygen']);

function since(facts: TankFacts, from: number): TankFacts {
  const onward = <T extends { readonly at: number }>(list: readonly T[]) =>
    list.filter(({ at }) => at >= from);
  return {
    ...facts,
    opened: from,
    salinity: salinityOf(facts),
    readings: facts.readings.filter(
      ({ analyte, at }) => at >= from || (surroundings.has(analyte) && at >= from - provenDays * dayMs),
    ),
    doses: onward(facts.doses),
    cultures: onward(facts.cultures),
    foods: onward(facts.foods),
    exchanges: onward(facts.exchanges),
    topoffs: onward(facts.topoffs),
  };
}

/** Nitrate gathers over years: a stretch begins with what was last read of it, not with new water. */
function carriedInto(facts: TankFacts, from: number): readonly Deed[] {
  const last = facts.readings.findLast(({ analyte, at }) => analyte === 'nitrate' && at < from);
  if (last === undefined) return [];
  return [{ kind: 'nitrate', day: 0, size: { form: 'known', amount: shownLevel(last) } }];
}
