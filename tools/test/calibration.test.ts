import { usualSettings } from '@brinewright/evidence';
import { beforeAll, describe, expect, it } from 'vitest';
import { type CaseScores, scoreCase } from '../calibration/forecasts.ts';
import { caseOf, unrest } from '../calibration/keeper.ts';
import { type RankTest, rankOnce, rankTests } from '../calibration/own-biology.ts';
import { insideBand, mean } from '../calibration/scores.ts';

/** The short form of `npm run calibrate`: what it finds with many tanks stands in docs/science/calibration.md. */
const { particles } = usualSettings;
/** ms; some forty fits and more. */
const patience = 120_000;
const seeds = (count: number): number[] => Array.from({ length: count }, (_, i) => 1 + i);

describe('truths of the model’s own biology', () => {
  let tests: RankTest[] = [];
  beforeAll(() => {
    tests = rankTests(seeds(40).map((seed) => rankOnce(seed, 24, particles)));
  }, patience);

  it('rank evenly among the draws of their fits', () => {
    const low = tests.filter(({ probability }) => probability < 0.05);
    expect(low.length, low.map(({ name }) => name).join(', ')).toBeLessThanOrEqual(5);
    for (const { name, probability } of tests) expect(probability, name).toBeGreaterThan(1e-4);
  });
});

describe.each([
  ['calm', 0],
  ['restless', unrest],
])('%s tanks of another biology', (_, restless) => {
  let scored: CaseScores[] = [];
  beforeAll(() => {
    scored = seeds(40).map((seed) => scoreCase(caseOf(seed, restless), [12, 30], particles));
  }, patience);

  it('are read as foretold', () => {
    const readings = scored.flatMap((one) => one.readings);
    expect(readings.length).toBeGreaterThan(500);
    const inside = insideBand(
      readings.map(({ place }) => place),
      0.9,
    );
    expect(inside).toBeGreaterThan(0.82);
    expect(inside).toBeLessThan(0.98);
    const [own, again, trend] = (['score', 'persistence', 'trend'] as const).map((of) =>
      mean(readings.map((reading) => reading[of])),
    ) as [number, number, number];
    expect(own).toBeLessThan(0.4 * Math.min(again, trend));
  });

  it('are ready nearer to the forecast than to what practice gives', () => {
    const ready = scored.flatMap((one) => one.ready);
    expect(ready.length).toBeGreaterThan(30);
    const [own, practice] = (['crps', 'practiceCrps'] as const).map((of) =>
      mean(ready.map((one) => one[of])),
    ) as [number, number];
    expect(own).toBeLessThan(0.8 * practice);
  });
});

it('a case is the same for the same seed, and a restless one another', () => {
  const water = (seed: number, restless: number) => caseOf(seed, restless).water;
  expect(water(3, 0)).toEqual(water(3, 0));
  expect(water(3, unrest)).toEqual(water(3, unrest));
  expect(water(3, unrest)).not.toEqual(water(3, 0));
});
