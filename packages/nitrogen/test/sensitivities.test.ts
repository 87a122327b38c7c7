import { describe, expect, it } from 'vitest';
import { medianBiology } from '../src/index.ts';
import { type Act, everyDay, runScenario, scenarioOf, usualWater } from './support/scenarios.ts';

/** How a tank is started; the medians of the priors where nothing is said. */
interface StartUp {
  readonly dose?: number;
  readonly nitrite?: number;
  readonly food?: number;
  /** mg N/L/d put in by animals. */
  readonly load?: number;
  /** Capacity of ammonia oxidisers, mg N/L/d, and nitrite oxidisers' share of it. */
  readonly capacity?: number;
  readonly ratio?: number;
  readonly wake?: readonly [number, number];
  readonly temperatureC?: number;
  readonly pH?: number;
  /** How often the dose is given again as soon as ammonia is below the limit. */
  readonly again?: number;
}

/** mg N/L below which ammonia and nitrite count as gone in the published table. */
const limit = 0.25;
const perDay = 20;

/** Day ammonia is gone, highest nitrite (mg N/L) and the day nitrite is gone. */
function milestones(start: StartUp): { ammoniaGone: number; peak: number; nitriteGone: number } {
  const { dose = 0, nitrite = 0, food = 0, load = 0, capacity = 1e-4, ratio = 1, again = 0 } = start;
  const [wakeA, wakeN] = start.wake ?? [1, 2];
  const biology = { ...medianBiology, halfAlkalinity: 1e-9, wakeA, wakeN };
  const water = { ...usualWater, temperatureC: start.temperatureC ?? 25.5, pH: start.pH ?? 8.1 };
  const levels = {
    ammonia: dose,
    nitrite,
    food,
    capacityA: capacity,
    capacityN: capacity * ratio,
    alkalinity: 100,
  };
  const follow = (redoses: readonly number[]) =>
    runScenario(
      scenarioOf(
        biology,
        levels,
        [
          { day: 0, kind: 'load', amounts: [load] },
          ...redoses.map((day): Act => ({ day, kind: 'ammonia', amounts: [dose] })),
          ...everyDay(120, 1 / perDay),
        ],
        [water],
      ),
    );
  const redoses: number[] = [];
  while (redoses.length < again) {
    const { at } = follow(redoses);
    let row = Math.round((redoses.at(-1) ?? 0) * perDay) + 1;
    while (at(row, 'ammonia') >= limit) row++;
    redoses.push(row / perDay);
  }
  const { at } = follow(redoses);
  const rows = Array.from({ length: 120 * perDay }, (_, row) => row);
  return {
    ammoniaGone: rows.findLastIndex((row) => at(row, 'ammonia') >= limit) / perDay,
    peak: Math.max(...rows.map((row) => at(row, 'nitrite'))),
    nitriteGone: rows.findLastIndex((row) => at(row, 'nitrite') >= limit) / perDay,
  };
}

/** Routes of starting a tank, at the medians of their own priors (docs/science/nitrogen.md). */
const culture = { capacity: 0.03, ratio: 0.4 };

/**
 * Runs at the medians of the priors, computed once by an implicit, positivity-preserving scheme with steps of 0.02 d
 * and an adaptive stiff solver beside it: days to the nearest whole, peaks to 0.1.
 */
const published: readonly (readonly [string, StartUp, number, number, number])[] = [
  ['one dose, nothing added', { dose: 3 }, 24, 2.7, 42],
  ['one dose at 20 °C', { dose: 3, temperatureC: 20 }, 35, 2.6, 61],
  ['one dose at 24 °C', { dose: 3, temperatureC: 24 }, 27, 2.7, 46],
  ['one dose at 28 °C', { dose: 3, temperatureC: 28 }, 20, 2.7, 35],
  ['a dose of 1', { dose: 1 }, 24, 0.7, 46],
  ['a dose of 4', { dose: 4 }, 25, 3.7, 42],
  ['a dose of 8', { dose: 8 }, 27, 7.6, 45],
  ['a dose of 30', { dose: 30 }, 42, 29, 68],
  ['a dose of 2, given six times more', { dose: 2, again: 6 }, 32, 13.4, 47],
  ['a dose and nitrite of 3', { dose: 3, nitrite: 3 }, 24, 4.6, 29],
  ['a live culture of 3e-4', { dose: 3, capacity: 3e-4, ratio: 0.4 }, 22, 2.7, 38],
  ['a live culture of 0.003', { dose: 3, capacity: 0.003, ratio: 0.4 }, 16, 2.7, 28],
  ['a live culture of 0.03', { dose: 3, ...culture }, 11, 2.6, 18],
  ['a live culture of 0.3', { dose: 3, capacity: 0.3, ratio: 0.4 }, 6, 2.2, 10],
  ['a live culture of 3', { dose: 3, capacity: 3, ratio: 0.4 }, 2, 2, 4],
  ['a live culture, a dose of 2 given six times more', { dose: 2, ...culture, again: 6 }, 18, 10, 23],
  ['food alone', { food: 3.5, capacity: 1.5e-4 }, 24, 2.3, 41],
  ['mature media', { dose: 2, capacity: 0.6, ratio: 0.8, wake: [0.3, 0.4] }, 3, 0.8, 4],
  ['animals and a live culture', { load: 0.08, ...culture }, 12, 0.8, 21],
  ['animals alone', { load: 0.08, capacity: 0.008 * 0.08 }, 24, 2, 38],
  ['a few animals', { load: 0.02, capacity: 0.008 * 0.02 }, 38, 0.6, 62],
  ['many animals', { load: 0.2, capacity: 0.008 * 0.2 }, 20, 4.3, 32],
];

describe('start-ups at the medians of the priors', () => {
  it.each(published)('%s', (_, start, ammoniaGone, peak, nitriteGone) => {
    const found = milestones(start);
    expect(Math.abs(found.ammoniaGone - ammoniaGone)).toBeLessThan(0.8);
    expect(Math.abs(found.peak / peak - 1)).toBeLessThan(0.08);
    expect(Math.abs(found.nitriteGone - nitriteGone)).toBeLessThan(0.8);
  });

  it('hardly depend on pH between 7.6 and 8.4', () => {
    const usual = milestones({ dose: 3 });
    for (const pH of [7.6, 8.4])
      expect(Math.abs(milestones({ dose: 3, pH }).ammoniaGone - usual.ammoniaGone)).toBeLessThan(1.5);
  });
});
