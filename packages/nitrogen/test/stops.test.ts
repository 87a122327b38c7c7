import { describe, expect, it } from 'vitest';
import { clearLevel, compilePlan, medianBiology } from '../src/index.ts';
import { type Act, runScenario, scenarioOf } from './support/scenarios.ts';

/** A tank in which nothing happens by itself, so that only the stops show. */
const still = {
  ...medianBiology,
  ...{ growthA: 0, growthN: 0, lossA: 0, lossN: 0, arriving: 0, algae: 0, denitrify: 0 },
  ...{ breakUp: 0, ammonify: 0, wakeA: 1e12, wakeN: 1e12 },
};
const levels = {
  ammonia: 1,
  nitrite: 0.5,
  nitrate: 4,
  food: 2,
  dissolved: 0.3,
  capacityA: 0.2,
  capacityN: 0.1,
};

/** The state after acts on the days given, and what it was before them. */
function after(...acts: Act[]) {
  const day = acts.at(-1)?.day ?? 0;
  const { at } = runScenario(scenarioOf(still, levels, [...acts, { day, kind: 'output' }]));
  return (name: Parameters<typeof at>[1]): number => at(0, name);
}

describe('a dose', () => {
  it.each(['ammonia', 'nitrite', 'nitrate'] as const)(
    'of %s is in the water and in the books at once',
    (kind) => {
      const state = after({ day: 1, kind, amounts: [0.75] });
      expect(state(kind)).toBeCloseTo(levels[kind] + 0.75, 12);
      expect(state('put')).toBeCloseTo(7.8 + 0.75, 12);
      expect(state('freed')).toBeCloseTo(0.75, 12);
    },
  );

  it('of food is put in, but frees nothing yet', () => {
    const state = after({ day: 1, kind: 'organic', amounts: [1] });
    expect(state('food')).toBeCloseTo(3, 12);
    expect(state('put')).toBeCloseTo(8.8, 12);
    expect(state('freed')).toBe(0);
  });

  it('of a buffer raises alkalinity alone', () => {
    const state = after({ day: 1, kind: 'alkalinity', amounts: [0.5] });
    expect(state('alkalinity')).toBeCloseTo(2.8, 12);
    expect(state('put')).toBeCloseTo(7.8, 12);
  });
});

it('a steady load goes in day by day until it is changed', () => {
  const state = after(
    { day: 2, kind: 'load', amounts: [0.1] },
    { day: 7, kind: 'load', amounts: [0] },
    { day: 9, kind: 'survival', amounts: [1] },
  );
  expect(state('ammonia')).toBeCloseTo(1.5, 10);
  expect(state('put')).toBeCloseTo(8.3, 10);
  expect(state('freed')).toBeCloseTo(0.5, 10);
});

describe('a water change', () => {
  it('takes its fraction of everything dissolved, leaves food, and brings what the new water holds', () => {
    const state = after({ day: 1, kind: 'exchange', amounts: [0.25, 2, 3.1] });
    expect(state('ammonia')).toBeCloseTo(0.75, 12);
    expect(state('nitrite')).toBeCloseTo(0.375, 12);
    expect(state('nitrate')).toBeCloseTo(0.75 * 4 + 0.25 * 2, 12);
    expect(state('dissolved')).toBeCloseTo(0.225, 12);
    expect(state('food')).toBe(2);
    expect(state('alkalinity')).toBeCloseTo(0.75 * 2.3 + 0.25 * 3.1, 12);
    expect(state('removed')).toBeCloseTo(0.25 * 5.8, 12);
    expect(state('put')).toBeCloseTo(7.8 + 0.5, 12);
  });

  it('takes of the bacteria only those that have not attached since the last culture', () => {
    const unattached = (days: number): number => Math.exp(-days / medianBiology.attach);
    expect(after({ day: 8, kind: 'exchange', amounts: [0.5, 0, 2.3] })('capacityA')).toBeCloseTo(
      0.2 * (1 - 0.5 * unattached(8)),
      12,
    );
    const soon = after(
      { day: 6, kind: 'culture', amounts: [0.3, 0.4] },
      { day: 8, kind: 'exchange', amounts: [0.5, 0, 2.3] },
    );
    expect(soon('capacityA')).toBeCloseTo(0.5 * (1 - 0.5 * unattached(2)), 12);
    expect(soon('capacityN')).toBeCloseTo(0.5 * (1 - 0.5 * unattached(2)), 12);
  });
});

it('a culture comes in asleep and is mixed with what is there', () => {
  const { at } = runScenario(
    scenarioOf({ ...still, wakeA: 1, wakeN: 2 }, levels, [
      { day: 3 - 1e-9, kind: 'output' },
      { day: 3, kind: 'culture', amounts: [0.6, 0.3] },
      { day: 3, kind: 'output' },
      { day: 5, kind: 'output' },
    ]),
  );
  expect(at(0, 'awakeA')).toBeCloseTo(1 - Math.exp(-3), 8);
  expect(at(0, 'awakeN')).toBeCloseTo(1 - Math.exp(-1.5), 8);
  expect(at(1, 'awakeA')).toBeCloseTo((0.2 * (1 - Math.exp(-3))) / 0.8, 6);
  expect(at(1, 'awakeN')).toBeCloseTo((0.1 * (1 - Math.exp(-1.5))) / 0.4, 6);
  expect(1 - at(2, 'awakeA')).toBeCloseTo((1 - at(1, 'awakeA')) * Math.exp(-2), 6);
});

it('media taken out, or a poison, leave a share of both groups', () => {
  const state = after({ day: 1, kind: 'survival', amounts: [0.3] });
  expect(state('capacityA')).toBeCloseTo(0.06, 12);
  expect(state('capacityN')).toBeCloseTo(0.03, 12);
});

it('vigour and surroundings scale what the bacteria do from their day on', () => {
  const lively = { ...still, wakeA: 1e-3, halfA: 1e-6 };
  const oxidised = (acts: readonly Act[], temperatureC = 25): number => {
    const water = { temperatureC: 25, pH: 8.1, salinity: 35, oxygenMgL: 6.7 };
    const { at } = runScenario(
      scenarioOf(
        { ...lively, halfAlkalinity: 1e-9 },
        { ...levels, ammonia: 5 },
        [...acts, { day: 2, kind: 'output' }],
        [water, { ...water, temperatureC }],
      ),
    );
    return 5 - at(0, 'ammonia');
  };
  const usual = oxidised([]);
  expect(oxidised([{ day: 1, kind: 'vigour', amounts: [1.5] }]) / usual).toBeCloseTo(1.25, 2);
  expect(oxidised([{ day: 1, kind: 'segment' }], 20) / usual).toBeCloseTo((1 + 1.07 ** -5) / 2, 2);
});

describe('the day the water is ready', () => {
  const ready = (acts: readonly Act[], days = 60): number => {
    const { report } = runScenario(
      scenarioOf(medianBiology, { capacityA: 0.3, capacityN: 0.3, alkalinity: 2.5 }, [
        ...acts,
        { day: days, kind: 'output' },
      ]),
    );
    return report.readyDay;
  };

  it('is when ammonia and nitrite have both passed the clear level', () => {
    const day = ready([{ day: 0, kind: 'ammonia', amounts: [2] }]);
    const { at } = runScenario(
      scenarioOf(medianBiology, { capacityA: 0.3, capacityN: 0.3, alkalinity: 2.5 }, [
        { day: 0, kind: 'ammonia', amounts: [2] },
        { day: day - 0.05, kind: 'output' },
        { day: day + 0.05, kind: 'output' },
      ]),
    );
    expect(Math.max(at(0, 'ammonia'), at(0, 'nitrite'))).toBeGreaterThan(clearLevel);
    expect(Math.max(at(1, 'ammonia'), at(1, 'nitrite'))).toBeLessThan(clearLevel);
  });

  it('never comes where nothing has been set free', () => {
    expect(ready([])).toBe(Infinity);
    expect(ready([{ day: 0, kind: 'ammonia', amounts: [0.4] }])).toBe(Infinity);
  });

  it('comes after the last dose that kept the water from staying clear for a day', () => {
    const first = ready([{ day: 0, kind: 'ammonia', amounts: [2] }]);
    const dosedAgain = ready([
      { day: 0, kind: 'ammonia', amounts: [2] },
      { day: first + 0.5, kind: 'ammonia', amounts: [1] },
    ]);
    expect(dosedAgain).toBeGreaterThan(first + 0.5);
    const dosedLater = ready([
      { day: 0, kind: 'ammonia', amounts: [2] },
      { day: first + 1.5, kind: 'ammonia', amounts: [1] },
    ]);
    expect(dosedLater).toBeCloseTo(first, 1);
  });

  it('needs the clear day to be within the run', () => {
    const day = ready([{ day: 0, kind: 'ammonia', amounts: [2] }]);
    expect(ready([{ day: 0, kind: 'ammonia', amounts: [2] }], day + 0.8)).toBe(Infinity);
  });
});

describe('a plan', () => {
  it('refuses stops that go back in time or lie before day 0, naming them', () => {
    const stop = (day: number) => ({ day, kind: 'ammonia', slot: 0 }) as const;
    expect(() => compilePlan([stop(3), stop(2)], [])).toThrow(/stop 1 \(ammonia\) is at day 2, before day 3/);
    expect(() => compilePlan([stop(-1)], [])).toThrow(/before day 0/);
    expect(() => compilePlan([stop(Number.NaN)], [])).toThrow(RangeError);
  });
});
