import { describe, expect, it } from 'vitest';
import {
  type Ask,
  ended,
  fit,
  follow,
  outcomeCount,
  type Problem,
  predictReadings,
  suppose,
} from '../src/index.ts';

const problem: Problem = {
  start: 'wild',
  salinity: 35,
  today: 8,
  volumeSpread: 0.05,
  alkalinity: { value: 2.5, sd: 0.2 },
  surroundings: [{ temperatureC: 25, pH: 8.1, salinity: 35, oxygenMgL: 6.7 }],
  unsizedAnimals: false,
  deeds: [
    { kind: 'ammonia', day: 0, size: { form: 'known', amount: 2 } },
    { kind: 'culture', day: 0, source: 'bottled' },
  ],
  sources: [],
  instruments: [{ form: 'card', analyte: 'ammonia', steps: [0, 0.25, 0.5, 1, 2, 4, 8] }],
  observations: [{ day: 6, instrument: 0, low: 0.7, high: 1.4, shown: 1, dilution: 1 }],
};

const posterior = ended(fit(problem, { particles: 128, seed: 4 }));

describe('supposing', () => {
  it('with nothing supposed is the course itself', () => {
    const followed = ended(follow(posterior, 20));
    const days = [8, 12, 20];
    const supposed = suppose(posterior, { days });
    for (const [row, day] of days.entries()) {
      const at = followed.days.indexOf(day);
      for (let particle = 0; particle < 128; particle++)
        expect(supposed.ammonia[row * 128 + particle]).toBeCloseTo(followed.ammonia[at * 128 + particle]!, 2);
    }
  });

  it('a dose raises ammonia by its size over the litres each particle has', () => {
    const days = [8];
    const before = suppose(posterior, { days });
    const after = suppose(posterior, {
      days,
      deeds: [{ kind: 'ammonia', day: 8, size: { form: 'known', amount: 1 } }],
    });
    const rises = after.ammonia.map((level, i) => level - before.ammonia[i]!).sort();
    expect(rises[64]).toBeGreaterThan(0.8);
    expect(rises[64]).toBeLessThan(1.25);
    expect(rises[0]).toBeGreaterThan(0.4);
  });

  it('gives each particle chances of outcomes that add up to one, and together what predict gives', () => {
    const ask: Ask = { day: 11, instrument: problem.instruments[0]!, which: 0, dilution: 1 };
    const [outcomes] = suppose(posterior, { days: [], asks: [ask] }).outcomes;
    const count = outcomeCount(ask.instrument);
    const means = Array.from({ length: count }, (_, k) =>
      outcomes!.subarray(k * 128, (k + 1) * 128).reduce((sum, chance) => sum + chance / 128, 0),
    );
    for (let particle = 0; particle < 128; particle++) {
      let sum = 0;
      for (let k = 0; k < count; k++) sum += outcomes![k * 128 + particle]!;
      expect(sum).toBeCloseTo(1, 6);
    }
    const [forecast] = predictReadings(posterior, [ask], [0.5]);
    for (const [k, chance] of forecast!.chances.entries()) expect(means[k]).toBeCloseTo(chance, 2);
  });
});
