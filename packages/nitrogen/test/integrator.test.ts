import { createRequire } from 'node:module';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Biology,
  decayFactor,
  medianBiology,
  oxygenFactor,
  oxygenHalf,
  pHFactor,
  quickSettings,
  type RunSettings,
  type stateIndex,
  temperatureFactor,
} from '../src/index.ts';
import { everyDay, runScenario, scenarioOf, usualWater } from './support/scenarios.ts';

/** What is used of odex, a general solver (Gragg–Bulirsch–Stoer), which ships no declarations. */
interface Solver {
  absoluteTolerance: number;
  relativeTolerance: number;
  solve(
    slope: (t: number, y: number[]) => number[],
    from: number,
    start: number[],
    to: number,
  ): { y: number[] };
}
const { Solver: GeneralSolver } = createRequire(import.meta.url)('odex') as {
  Solver: new (size: number) => Solver;
};

const settings = (tolerance: number): RunSettings => ({ tolerance, mostEvaluations: 10_000_000 });

describe('a linear chain, for which there is a closed form', () => {
  // No growth, no loss, no self-inhibition, half-saturations far above the levels: ammonia → nitrite → nitrate, each
  // at a constant rate per day.
  const [rateA, rateN, dose] = [0.8, 0.3, 2];
  const half = 1e13;
  const biology: Biology = {
    ...medianBiology,
    ...{ growthA: 0, growthN: 0, lossA: 0, lossN: 0, arriving: 0, algae: 0, denitrify: 0 },
    ...{ halfA: half, halfN: half, selfA: 1e17, selfN: 1e17, freeAmmoniaN: 1e17, halfAlkalinity: 1e-12 },
  };
  const water = { temperatureC: 25, pH: 8.1, salinity: 35, oxygenMgL: 6.7 };
  const scenario = scenarioOf(
    biology,
    {
      ammonia: dose,
      capacityA: rateA * half,
      capacityN: rateN * half,
      awakeA: 1,
      awakeN: 1,
      alkalinity: 100,
    },
    everyDay(20),
    [water],
  );
  const exact = (day: number) => {
    const ammonia = dose * Math.exp(-rateA * day);
    const nitrite =
      ((0.98 * rateA * dose) / (rateN - rateA)) * (Math.exp(-rateA * day) - Math.exp(-rateN * day));
    // What has left nitrite is what came in less what is there.
    const nitrate = 0.99 * (0.98 * (dose - ammonia) - nitrite);
    return { ammonia, nitrite, nitrate };
  };
  const worst = (tolerance: number): { error: number; evaluations: number } => {
    const { at, report } = runScenario(scenario, settings(tolerance));
    let error = 0;
    for (let day = 0; day <= 20; day++)
      for (const [name, value] of Object.entries(exact(day)))
        error = Math.max(error, Math.abs(at(day, name as keyof typeof stateIndex) - value));
    return { error, evaluations: report.evaluations };
  };

  it('is followed to the tolerance asked for', () => {
    expect(worst(1e-4).error).toBeLessThan(1e-3);
    expect(worst(1e-6).error).toBeLessThan(1e-5);
    expect(worst(1e-10).error).toBeLessThan(1e-8);
  });

  it('is followed with the fourth order at least: error falls as the fourth power of the work', () => {
    const [coarse, fine] = [worst(1e-7), worst(1e-10)];
    const order = Math.log(coarse.error / fine.error) / Math.log(fine.evaluations / coarse.evaluations);
    expect(order).toBeGreaterThan(3.7);
    // What is followed along its decay gains by finer steps and by decaying less in each.
    expect(order).toBeLessThan(5);
  });
});

it('strides through a settled tank, where a trace comes and goes within the hour', () => {
  const fed = scenarioOf(
    medianBiology,
    { capacityA: 0.8, capacityN: 0.8, awakeA: 1, awakeN: 1, alkalinity: 100 },
    [
      { day: 0, kind: 'load', amounts: [0.2] },
      { day: 30, kind: 'ammonia', amounts: [1] },
      ...everyDay(90, 10),
    ],
  );
  const [quick, fine] = [runScenario(fed, quickSettings), runScenario(fed, settings(1e-9))];
  for (let row = 1; row <= 9; row++)
    for (const name of ['ammonia', 'nitrite', 'nitrate', 'capacityA', 'capacityN'] as const)
      expect(Math.abs(quick.at(row, name) - fine.at(row, name)), `${name} in row ${row}`).toBeLessThan(2e-3);
  // 970 without following the decay of a trace.
  expect(quick.report.evaluations).toBeLessThan(500);
});

describe('against a general solver on the plain equations', () => {
  /** Everything written afresh: ammonia, nitrite, nitrate, food, dissolved, both capacities, alkalinity. */
  const slopeOf = (b: Biology, water: typeof usualWater, load: number, freeShare: number) => {
    const decay = decayFactor(water.temperatureC);
    const common = temperatureFactor(water.temperatureC) * pHFactor(water.pH);
    const fA = common * oxygenFactor(water.oxygenMgL, oxygenHalf.ammonia);
    const fN = common * oxygenFactor(water.oxygenMgL, oxygenHalf.nitrite);
    return (t: number, [a, n, x, food, dissolved, qa, qn, alk]: number[]): number[] => {
      const wakeA = 1 - Math.exp(-t / b.wakeA);
      const wakeN = 1 - Math.exp(-t / b.wakeN);
      const alkalinity = (alk! / (b.halfAlkalinity + alk!)) * ((b.halfAlkalinity + 2.3) / 2.3);
      const rA = ((((qa! * wakeA * fA * a!) / (b.halfA + a!)) * b.selfA) / (b.selfA + a!)) * alkalinity;
      const rN =
        (qn! * wakeN * fN * n!) /
        (b.halfN + n!) /
        (1 + n! / b.selfN) /
        (1 + (freeShare * a!) / b.freeAmmoniaN);
      const algae = (b.algae * a!) / (0.05 + a!);
      const eaten = (((0.5 * b.algae * x!) / (0.1 + x!)) * 0.05) / (0.05 + a!);
      const gas = b.denitrify * x! * Math.min(1, Math.max(0, (t - 20) / 40));
      const broken = b.breakUp * decay * food!;
      const freed = b.ammonify * decay * dissolved!;
      return [
        freed + load - rA - algae,
        0.98 * rA - rN,
        0.99 * rN - eaten - gas,
        -broken,
        b.mineralised * broken - freed,
        b.growthA * rA * (1 - qa! / b.ceilingA) - b.lossA * wakeA * qa! + b.arriving,
        b.growthN * rN * (1 - qn! / b.ceilingN) - b.lossN * wakeN * qn! + b.arriving,
        (freed - 2 * 0.98 * rA) / 14.007,
      ];
    };
  };
  const names = [
    ...(['ammonia', 'nitrite', 'nitrate', 'food', 'dissolved'] as const),
    ...(['capacityA', 'capacityN', 'alkalinity'] as const),
  ];
  const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

  it('agrees about every quantity within 1e-4 over 60 days', () => {
    fc.assert(
      fc.property(
        fc.record({
          growthA: between(0.3, 0.9),
          growthN: between(0.3, 0.9),
          halfA: between(0.2, 1.5),
          halfN: between(0.2, 1.5),
          wakeA: between(0.2, 4),
          wakeN: between(0.2, 6),
          algae: between(0, 0.05),
          denitrify: between(0, 0.02),
        }),
        fc.record({
          ammonia: between(0.2, 5),
          food: between(0, 2),
          capacityA: between(1e-4, 0.3),
          capacityN: between(1e-4, 0.3),
          alkalinity: between(1.8, 3),
        }),
        fc.record({ temperatureC: between(20, 29), pH: between(7.7, 8.4) }),
        between(0, 0.05),
        (some, levels, weather, load) => {
          const biology = { ...medianBiology, ...some };
          const water = { ...usualWater, ...weather };
          const scenario = scenarioOf(
            biology,
            levels,
            [{ day: 0, kind: 'load', amounts: [load] }, ...everyDay(60, 5)],
            [water],
          );
          const { at } = runScenario(scenario, settings(1e-11));
          const solver = new GeneralSolver(names.length);
          solver.absoluteTolerance = 1e-9;
          solver.relativeTolerance = 1e-9;
          const slope = slopeOf(biology, water, load, scenario.plan.segments[2]!);
          let y = names.map((name) => at(0, name));
          for (let row = 1; row <= 12; row++) {
            // The kink where nitrate loss sets in falls on a boundary.
            ({ y } = solver.solve(slope, (row - 1) * 5, y, row * 5));
            for (const [index, name] of names.entries())
              expect(Math.abs(at(row, name) - y[index]!), `${name} on day ${row * 5}`).toBeLessThan(1e-4);
          }
        },
      ),
      { seed: 20_250_301, numRuns: 25, endOnFailure: true },
    );
  });
});
