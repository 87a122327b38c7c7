import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axesOf, beyondChance, varianceBehind } from '../src/infer/beyond-chance.ts';
import { cloudOf, covarianceOf, noSums, sumsOf } from '../src/infer/cloud.ts';
import { foldsOf, shapeOf } from '../src/infer/folds.ts';
import { lean } from '../src/infer/shear.ts';
import { resample } from '../src/infer/weights.ts';
import { prepare } from '../src/model/model.ts';
import { stream } from '../src/numbers/random.ts';
import { tank } from './tank.ts';

describe('a covariance of few draws', () => {
  const unit = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);

  it('is the prior itself where there are none', () => {
    const { mean, spreads, lower } = cloudOf(noSums(3), unit);
    expect([...mean]).toEqual([0, 0, 0]);
    // A tenth wider than the prior, as every cloud is.
    for (const spread of spreads) expect(spread).toBeCloseTo(1.1, 12);
    for (const [place, value] of lower.entries()) expect(value).toBeCloseTo(place % 4 === 0 ? 1.1 : 0, 12);
  });

  it('says nothing of axes that chance stretches as much, and something of those beyond', () => {
    expect(varianceBehind(0.31, 0.2)).toBe(1);
    expect(varianceBehind(2.09, 0.2)).toBe(1);
    expect(varianceBehind(0.1, 0.2)).toBeCloseTo(0.1686, 4);
    expect(varianceBehind(4, 0.2)).toBeCloseTo(3.472, 3);
    // Draws without number are believed as they are; none are believed nothing.
    expect(varianceBehind(0.1, 1e-9)).toBeCloseTo(0.1, 6);
    expect(varianceBehind(0.1, Number.POSITIVE_INFINITY)).toBe(1);
  });

  it('comes nearer to the truth than it was found', () => {
    const [size, draws] = [30, 150];
    const truth = Float64Array.from({ length: size }, (_, i) => (i === 0 ? 0.02 : i === 1 ? 4 : 1));
    const random = stream(20_261_126);
    const scores = Float64Array.from({ length: size * draws }, (_, i) => {
      return Math.sqrt(truth[i % size]!) * random.normal();
    });
    const { weight, first, second } = sumsOf(scores, new Float64Array(draws).fill(1 / draws), 0, draws);
    const found = Float64Array.from({ length: size * size }, (_, place) => {
      const [i, j] = [Math.floor(place / size), place % size];
      return second[Math.max(i, j) * size + Math.min(i, j)]! / weight - first[i]! * first[j]!;
    });
    const off = (table: Float64Array): number =>
      table.reduce((sum, value, place) => {
        const [i, j] = [Math.floor(place / size), place % size];
        return sum + (value - (i === j ? truth[i]! : 0)) ** 2;
      }, 0);
    const believed = beyondChance(found, axesOf(found, size), size, draws);
    expect(off(believed)).toBeLessThan(0.4 * off(found));
    expect(believed[0]).toBeLessThan(0.05);
  });
});

describe('the folds particles are moved in', () => {
  const model = prepare(tank(10, []));
  const size = model.coordinates.length;
  const priors = model.coordinates.map(({ prior }) => prior);
  const count = 96;

  it('share no particle with the cloud they are moved by', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: count, maxLength: count }),
        (seed, raw) => {
          const random = stream(seed);
          const scores = Float64Array.from({ length: count * size }, () => random.normal());
          const total = raw.reduce((sum, value) => sum + value + 1e-3, 0);
          const weights = Float64Array.from(raw, (value) => (value + 1e-3) / total);
          const chosen = resample(weights, random.uniform(), count);
          const folds = foldsOf(model, scores, weights, chosen);
          expect(folds.map(({ from }) => from)).toEqual([0, ...folds.slice(0, -1).map(({ until }) => until)]);
          expect(folds.at(-1)?.until).toBe(count);
          for (const fold of folds) {
            const { from, until } = fold;
            const shape = shapeOf(fold);
            const straight = scores.slice();
            for (let at = 0; at < straight.length; at += size)
              lean(shape.leanings, priors, straight.subarray(at, at + size), -1);
            const ancestors = new Set(chosen.subarray(from, until));
            const others = weights.map((weight, i) => (ancestors.has(i) ? 0 : weight));
            // Particles between two ancestors have no copies; they are left out as well.
            for (let i = Math.min(...ancestors); i <= Math.max(...ancestors); i++) others[i] = 0;
            const all = sumsOf(straight, weights, 0, count);
            const axes = axesOf(covarianceOf(all), size);
            const alone = cloudOf(sumsOf(straight, others, 0, count), axes);
            for (const [i, value] of alone.mean.entries()) expect(shape.cloud.mean[i]).toBeCloseTo(value, 9);
            for (const [i, value] of alone.lower.entries())
              expect(shape.cloud.lower[i]).toBeCloseTo(value, 6);
          }
        },
      ),
      { numRuns: 20 },
    );
  });
});
