import type { Sheet } from '@brinewright/counsel';
import type { TankFacts, TankId } from '@brinewright/journal';
import { levelAt } from '../charts/panel.tsx';
import { DAY_MS } from '../format/dates.ts';
import { words } from '../words/index.ts';

/** Total ammonia or nitrite above this, mg/L as N, is not called safe for animals: the level the ready date is defined by. */
const UNSAFE = 0.1;

/** Tanks with animals in doubtful water first, then by how long nobody has tested them. */
export function mostUrgentFirst(
  tanks: readonly TankFacts[],
  sheetOf: (tank: TankId) => Sheet | undefined,
  now: number,
): readonly TankFacts[] {
  const rank = (facts: TankFacts) =>
    (endangered(facts, sheetOf(facts.tank)) ? 1000 : 0) + Math.min(untestedDays(facts, now), 999);
  return [...tanks].sort((a, b) => rank(b) - rank(a) || (a.name ?? '').localeCompare(b.name ?? ''));
}

/** Why a tank stands where it stands, in words. */
export function reasonFor(facts: TankFacts, sheet: Sheet | undefined, now: number): string {
  if (endangered(facts, sheet)) return words.rounds.why.animals;
  return facts.readings.length === 0
    ? words.rounds.why.untested
    : words.rounds.why.tested(Math.floor(untestedDays(facts, now)));
}

function untestedDays(facts: TankFacts, now: number): number {
  const last = facts.readings[facts.readings.length - 1];
  return last === undefined ? Number.POSITIVE_INFINITY : Math.max(0, (now - last.at) / DAY_MS);
}

function endangered(facts: TankFacts, sheet: Sheet | undefined): boolean {
  if (sheet === undefined || headcount(facts) <= 0) return false;
  const today = Date.parse(sheet.course.asOf);
  return sheet.course.series.some(
    ({ analyte, points }) => analyte !== 'nitrate' && levelAt(points, today, 'p95') > UNSAFE,
  );
}

function headcount(facts: TankFacts): number {
  const count = (all: TankFacts['arrivals']) =>
    all.flatMap(({ animals }) => animals).reduce((sum, { count: n }) => sum + n, 0);
  return count(facts.arrivals) - count(facts.losses);
}
