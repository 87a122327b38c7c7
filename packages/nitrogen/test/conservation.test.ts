import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fineSettings, quickSettings, stateIndex, stateNames, stateWidth } from '../src/index.ts';
import { runScenario, scenarios } from './support/scenarios.ts';

/** 60 days at the fastest decay resolved need about 32 steps of four evaluations a day; the rest is room for stops. */
const mostWork = 12_000;

const places = ['ammonia', 'nitrite', 'nitrate', 'food', 'dissolved', 'bound', 'lost', 'removed'] as const;

describe('any tank, any deeds', () => {
  it('accounts for all nitrogen put in, to rounding', () => {
    fc.assert(
      fc.property(scenarios, fc.constantFrom(quickSettings, fineSettings), (scenario, settings) => {
        const { rows, at } = runScenario(scenario, settings);
        for (let row = 0; row < rows.length / stateWidth; row++) {
          const found = places.reduce((sum, place) => sum + at(row, place), 0);
          expect(Math.abs(found - at(row, 'put'))).toBeLessThan(1e-11 * (1 + at(row, 'put')));
        }
      }),
      { seed: 20_250_101, numRuns: 150, endOnFailure: true },
    );
  });

  it('never holds less than nothing, and never takes back what the books have', () => {
    const growing = [stateIndex.bound, stateIndex.lost, stateIndex.removed, stateIndex.put, stateIndex.freed];
    fc.assert(
      fc.property(scenarios, (scenario) => {
        const { rows } = runScenario(scenario, quickSettings);
        for (const [index, value] of rows.entries())
          expect(value, stateNames[index % stateWidth]).toBeGreaterThanOrEqual(0);
        for (let from = stateWidth; from < rows.length; from += stateWidth)
          for (const name of growing)
            expect(rows[from + name]!).toBeGreaterThanOrEqual(rows[from - stateWidth + name]! - 1e-12);
      }),
      { seed: 20_250_102, numRuns: 150, endOnFailure: true },
    );
  });

  it('is done within bounded work', () => {
    fc.assert(
      fc.property(scenarios, (scenario) => {
        const { report } = runScenario(scenario, quickSettings);
        expect(report.outcome).toBe('done');
        expect(report.reached).toBe(60);
        expect(report.evaluations).toBeLessThan(mostWork);
      }),
      { seed: 20_250_103, numRuns: 150, endOnFailure: true },
    );
  });
});

it('gives up, and says how far it got, when the work runs out', () => {
  const [scenario] = fc.sample(scenarios, { seed: 20_250_104, numRuns: 1 });
  const { report } = runScenario(scenario!, { tolerance: 1e-12, mostEvaluations: 2_000 });
  expect(report.outcome).toBe('work-limit');
  expect(report.evaluations).toBeLessThan(2_100);
  expect(report.reached).toBeLessThan(60);
});

it('says so when it is given what is not a number', () => {
  const [scenario] = fc.sample(scenarios, { seed: 20_250_105, numRuns: 1 });
  const start = scenario!.start.slice();
  start[stateIndex.ammonia] = Number.NaN;
  expect(runScenario({ ...scenario!, start }).report.outcome).toBe('not-finite');
});
