import { lognormal, type Prior } from '@brinewright/nitrogen';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Leaning, lean } from '../src/infer/shear.ts';
import { straightened } from '../src/infer/straighten.ts';
import { finder } from '../src/model/coordinates.ts';
import { prepare } from '../src/model/model.ts';
import { stream } from '../src/numbers/random.ts';
import { tank } from './tank.ts';

const priors: readonly Prior[] = [
  lognormal(1e-3, 2),
  lognormal(0.5, 0.3),
  lognormal(0.5, 1),
  lognormal(1, 1),
  lognormal(1, 0.3),
  lognormal(1, 0.3),
];
const leaning: Leaning = {
  ...{ size: 0, growth: 1, half: 2, wake: 3 },
  ...{ slope: -0.5, fed: 2, after: 0 },
  lively: [
    { vigour: 4, days: 7 },
    { vigour: 5, days: 3 },
  ],
};

describe('straightening by a leaning', () => {
  it('takes the growth between its days off, of bacteria fed and awake as they were', () => {
    const scores = new Float64Array(priors.length);
    lean([{ ...leaning, slope: 1, lively: [{ vigour: 4, days: 7 }] }], priors, scores, -1);
    // Of 0.5 a day, 2/(2 + 0.5) for the food; awake 7 − (1 − e^−7) days.
    expect(scores[0]).toBeCloseTo(-0.4 * (6 + Math.exp(-7)), 9);
    scores.fill(0);
    lean([{ ...leaning, slope: 1, after: 2, lively: [{ vigour: 4, days: 5 }] }], priors, scores, -1);
    expect(scores[0]).toBeCloseTo(-0.4 * (5 - Math.exp(-2) + Math.exp(-7)), 9);
  });

  it('is undone by bending, and moves nothing but the inoculum', () => {
    const score = fc.double({ min: -3, max: 3, noNaN: true });
    fc.assert(
      fc.property(fc.array(score, { minLength: priors.length, maxLength: priors.length }), (before) => {
        const scores = Float64Array.from(before);
        lean([leaning], priors, scores, -1);
        expect([...scores.subarray(1)]).toEqual(before.slice(1));
        lean([leaning], priors, scores, 1);
        expect(scores[0]).toBeCloseTo(before[0]!, 9);
      }),
      { seed: 20_261_127 },
    );
  });
});

describe('the course of growth found', () => {
  const model = prepare(tank(28, []));
  const size = model.coordinates.length;
  const priorsThere = model.coordinates.map(({ prior }) => prior);
  const at = finder(model.coordinates);
  const count = 400;
  const random = stream(20_261_128);
  const planted: Leaning = {
    ...{ size: at('inoculum'), growth: at('growthA'), half: at('halfA'), wake: at('wakeA') },
    ...{ slope: -0.5, fed: 0.5, after: 0 },
    lively: [7, 7, 3.5].map((days, spell) => ({ vigour: at(`vigour:${spell}`), days })),
  };
  const scores = Float64Array.from({ length: count * size }, () => random.normal());
  // A twentieth of the prior's spread about a ridge.
  for (let i = 0; i < count; i++) {
    const here = scores.subarray(i * size, (i + 1) * size);
    here[planted.size] = 0.05 * here[planted.size]!;
    lean([planted], priorsThere, here, 1);
  }
  const { leanings, straight } = straightened(model, scores, new Float64Array(count).fill(1 / count));

  it('is the one that was planted', () => {
    const found = leanings.find(({ size }) => size === planted.size)!;
    expect(found.slope).toBeCloseTo(planted.slope, 1);
    expect(found).toEqual({ ...planted, slope: found.slope });
  });

  it('leaves no more of the inoculum than was about the ridge', () => {
    const left = Array.from({ length: count }, (_, i) => straight[i * size + planted.size]!);
    const mean = left.reduce((sum, value) => sum + value, 0) / count;
    const variance = left.reduce((sum, value) => sum + (value - mean) ** 2, 0) / count;
    expect(Math.sqrt(variance)).toBeLessThan(0.06);
    expect(Math.sqrt(variance)).toBeGreaterThan(0.04);
  });

  it('is what the movers bend by', () => {
    const again = scores.slice();
    for (let i = 0; i < again.length; i += size) lean(leanings, priorsThere, again.subarray(i, i + size), -1);
    for (const [i, value] of straight.entries()) expect(again[i]).toBeCloseTo(value, 9);
  });
});
