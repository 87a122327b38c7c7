import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changes, type Order, ordersOf } from '../../src/index.ts';
import { bearingsOf } from '../../src/orders/bearings.ts';
import { culture, dose, kits, type Line, read, reckonAt, water } from '../scenarios/station.ts';

/** Milliseconds a property may take on a busy machine. */
const patience = 240_000;
const particles = 96;

const ammoniaSteps = [0, 0.25, 0.5, 1, 2, 4, 8] as const;
const nitriteSteps = [0, 0.25, 0.5, 1, 2, 5] as const;
const nitriteFactor = 0.30446;

/** What a start like many shows on a day: ammonia goes from 2 in the second week, nitrite comes and goes after it. */
function usualReading(day: number, pace: number, analyte: 'ammonia' | 'nitrite'): number {
  const at = day / pace;
  const ammonia = 2 / (1 + Math.exp((at - 10) / 1.2));
  const nitrite = Math.max(0, 2 / (1 + Math.exp((at - 18) / 1.2)) - ammonia);
  return analyte === 'ammonia'
    ? nearest(ammoniaSteps, ammonia)
    : nearest(nitriteSteps, nitrite / nitriteFactor);
}

const nearest = (steps: readonly number[], value: number): number =>
  steps.reduce((best, step) => (Math.abs(step - value) < Math.abs(best - value) ? step : best));

const journals = fc.record({
  pace: fc.double({ min: 0.7, max: 1.4, noNaN: true }),
  gap: fc.integer({ min: 2, max: 4 }),
  until: fc.integer({ min: 3, max: 26 }),
  withCulture: fc.boolean(),
});

function journalOf({
  pace,
  gap,
  until,
  withCulture,
}: {
  pace: number;
  gap: number;
  until: number;
  withCulture: boolean;
}): Line[] {
  const days = Array.from({ length: Math.floor(until / gap) }, (_, i) => (i + 1) * gap);
  return [
    water,
    ...kits,
    dose(0, 400),
    ...(withCulture ? [culture] : []),
    read(0.05, 'ammonia', 2),
    ...days.flatMap((day) => [
      read(day, 'ammonia', usualReading(day, pace, 'ammonia')),
      read(day, 'nitrite', usualReading(day, pace, 'nitrite')),
    ]),
  ];
}

/** Orders, and the reading of ammonia that would surprise nobody now. */
function told(lines: readonly Line[], day: number): { orders: Order[]; expected: number } {
  const reckoning = reckonAt(lines, day, particles);
  const { levels } = bearingsOf(reckoning);
  return { orders: ordersOf(reckoning), expected: nearest(ammoniaSteps, levels.ammonia.p50) };
}

const ranks = ['now', 'today', 'soon', 'whenever'];

describe('a list of orders over many journals', { timeout: patience }, () => {
  it('is the same for the same facts, and an unremarkable reading leaves what stays in its sequence', () => {
    fc.assert(
      fc.property(journals, (shape) => {
        const lines = journalOf(shape);
        const day = shape.until + 0.2;
        const { orders, expected } = told(lines, day);
        expect(JSON.stringify(told(lines, day).orders)).toBe(JSON.stringify(orders));
        const next = told([...lines, read(day, 'ammonia', expected)], day + 0.02).orders;
        const stays = (list: readonly Order[], other: readonly Order[]): string[] =>
          list
            .filter(({ key, urgency }) => other.some((one) => one.key === key && one.urgency === urgency))
            .map(({ key }) => key);
        expect(stays(next, orders)).toEqual(stays(orders, next));
        // Nothing leaps from "whenever" to "now" or back for a reading that surprises nobody.
        for (const { key, urgency } of next) {
          const before = orders.find((one) => one.key === key);
          if (before)
            expect(Math.abs(ranks.indexOf(urgency) - ranks.indexOf(before.urgency)), key).toBeLessThan(2);
        }
        expect(next.filter(({ do: does }) => does === 'emergency' || does === 'stock')).toEqual([]);
      }),
      { seed: 20250301, numRuns: 6 },
    );
  });

  it('says of every order that goes why it went', () => {
    fc.assert(
      fc.property(journals, (shape) => {
        const lines = journalOf({ ...shape, until: 26 });
        const early = told(lines, shape.until + 0.2).orders;
        const later = told(lines, shape.until + 2.2).orders;
        const { added, withdrawn, altered } = changes(early, later);
        for (const { order, why } of withdrawn) {
          expect(later.map(({ key }) => key)).not.toContain(order.key);
          expect(why).toContain(order.holdsWhile);
        }
        const kept = early.length - withdrawn.length;
        expect(added.length + kept).toBe(later.length);
        expect(altered.length).toBeLessThanOrEqual(kept);
      }),
      { seed: 20250302, numRuns: 5 },
    );
  });

  it('names each piece of advice once', () => {
    fc.assert(
      fc.property(journals, (shape) => {
        const keys = told(journalOf(shape), shape.until + 0.2).orders.map(({ key }) => key);
        expect(new Set(keys).size).toBe(keys.length);
      }),
      { seed: 20250303, numRuns: 5 },
    );
  });
});
