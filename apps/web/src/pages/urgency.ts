import type { Order, Urgency } from '@brinewright/counsel';
import type { TankFacts, TankId } from '@brinewright/journal';
import { DAY_MS } from '../format/dates.ts';
import { words } from '../words/index.ts';

/** Any order of one urgency outranks any neglect of a tank with a lesser one. */
const WEIGHT: Readonly<Record<Urgency, number>> = { now: 3000, today: 2000, soon: 1000, whenever: 0 };

/** Tanks by their most urgent order, then by how long nobody has tested them. */
export function mostUrgentFirst(
  tanks: readonly TankFacts[],
  ordersOf: (tank: TankId) => readonly Order[] | undefined,
  now: number,
): readonly TankFacts[] {
  const rank = (facts: TankFacts) => {
    const [first] = ordersOf(facts.tank) ?? [];
    return (first === undefined ? 0 : WEIGHT[first.urgency]) + Math.min(untestedDays(facts, now), 999);
  };
  return [...tanks].sort((a, b) => rank(b) - rank(a) || (a.name ?? '').localeCompare(b.name ?? ''));
}

/** When a tank was last tested, in words. */
export function testedWords(facts: TankFacts, now: number): string {
  const of = words.rounds.why;
  return facts.readings.length === 0 ? of.untested : of.tested(Math.floor(untestedDays(facts, now)));
}

function untestedDays(facts: TankFacts, now: number): number {
  const last = facts.readings[facts.readings.length - 1];
  return last === undefined ? Number.POSITIVE_INFINITY : Math.max(0, (now - last.at) / DAY_MS);
}
