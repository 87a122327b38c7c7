import { lognormal, normal, type Prior } from '@brinewright/nitrogen';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { plainMover } from '../src/infer/move/plain.ts';
import type { Mover, Shape } from '../src/infer/move/shape.ts';
import { vectorMover } from '../src/infer/move/vector.ts';
import { cholesky } from '../src/numbers/cholesky.ts';
import { lanes, startOf } from '../src/numbers/fours.ts';

const size = 7;
const capacity = 10;
const priors: readonly Prior[] = [
  lognormal(0.5, 0.4),
  lognormal(3, 0.5),
  lognormal(1e-3, 2),
  normal(2.5, 0.2),
  { shape: 'logit-normal', centre: -1, spread: 0.7 },
  lognormal(1, 0.3),
  lognormal(1, 0.3),
];

/** Growth, wake and inoculum are the first three, half-saturation the fourth; vigours of two spells the last two. */
const leaning = {
  size: 2,
  growth: 0,
  half: 3,
  wake: 1,
  slope: -0.4,
  fed: 2,
  after: 0.5,
  lively: [
    { vigour: 5, days: 7 },
    { vigour: 6, days: 4 },
  ],
};
const covariance = Float64Array.from({ length: size * size }, (_, i) => {
  const [row, column] = [Math.floor(i / size), i % size];
  return row === column ? 1 : 0.6 ** Math.abs(row - column);
});
const shape: Shape = {
  cloud: {
    size,
    mean: Float64Array.from({ length: size }, (_, i) => 0.3 * i - 0.5),
    spreads: new Float64Array(size).fill(1),
    lower: cholesky(covariance, size),
  },
  leanings: [leaning],
};

const score = fc.double({ min: -3, max: 3, noNaN: true });
const particle = fc.record({
  scores: fc.array(score, { minLength: size, maxLength: size }),
  gamma: fc.double({ min: 2, max: 20, noNaN: true }),
});
const numbersOf = (table: Float32Array, particle: number): number[] =>
  Array.from({ length: size }, (_, i) => table[startOf(particle, size) + lanes * i]!);

function place(mover: Mover, at: number, { scores, gamma }: { scores: readonly number[]; gamma: number }) {
  for (const [i, number] of scores.entries()) mover.here[startOf(at, size) + lanes * i] = number;
  mover.gammas[at] = gamma;
}

const shares = { 'all axes': 1, 'some axes': 0.4 };

describe('the two movers', () => {
  const vector = vectorMover({ priors, capacity });
  const plain = plainMover({ priors, capacity });
  vector?.takeShape(shape);
  plain.takeShape(shape);

  it.each(Object.entries(shares))('agree on drawing %s afresh', (_, share) => {
    expect(vector, 'this runtime has no WebAssembly vectors').not.toBeNull();
    fc.assert(
      fc.property(
        fc.array(particle, { minLength: 1, maxLength: capacity }),
        fc.integer(),
        (particles, word) => {
          for (const mover of [vector!, plain]) {
            for (const [i, one] of particles.entries()) place(mover, i, one);
            mover.propose(particles.length, share, word, 40);
          }
          for (const i of particles.keys()) {
            const expected = numbersOf(plain.proposals, i);
            for (const [j, found] of numbersOf(vector!.proposals, i).entries())
              expect(Math.abs(found - expected[j]!)).toBeLessThan(1e-3 * (1 + Math.abs(expected[j]!)));
            const values = numbersOf(plain.values, i);
            for (const [j, found] of numbersOf(vector!.values, i).entries())
              expect(Math.abs(found - values[j]!)).toBeLessThan(1e-3 * Math.abs(values[j]!) + 1e-6);
            expect(Math.abs(vector!.gains[i]! - plain.gains[i]!)).toBeLessThan(0.02);
          }
        },
      ),
      { seed: 20_260_302, numRuns: 300 },
    );
  });

  it('give a particle the same to the last bit whoever is beside it', () => {
    const one = { scores: [0.1, -0.4, 1.2, 0, 0.7, -1, 0.3], gamma: 8 };
    const beside = { scores: [2, 1, -2, 0.5, 0, 0, 1], gamma: 3 };
    const found = [0, 1, 2, 3].map((at) => {
      for (let i = 0; i < lanes; i++) place(vector!, i, i === at ? one : beside);
      vector!.propose(lanes, 0.4, 99, 17 - at);
      return [...numbersOf(vector!.proposals, at), vector!.gains[at]];
    });
    for (const other of found) expect(other).toEqual(found[0]);
  });

  it('stay where they are along axes that were not chosen, and tell what that comes to', () => {
    const scores = [0.5, 0, -1, 2, 0.3, -0.2, 1];
    place(plain, 0, { scores, gamma: 8 });
    plain.propose(1, 0, 5, 0);
    for (const [i, value] of numbersOf(plain.proposals, 0).entries())
      expect(value).toBeCloseTo(scores[i]!, 5);
    expect(numbersOf(plain.values, 0)[1]).toBeCloseTo(3, 5);
    expect(plain.gains[0]).toBeCloseTo(0, 5);
  });

  it('forget nothing of where they were but its distance when all is drawn afresh', () => {
    const drawn = [2, -1].map((score) => {
      place(plain, 0, { scores: new Array<number>(size).fill(score), gamma: 8 });
      plain.propose(1, 1, 5, 0);
      return numbersOf(plain.proposals, 0).map((value, i) => value - shape.cloud.mean[i]!);
    });
    const ratios = drawn[0]!.flatMap((value, i) => (i === leaning.size ? [] : [value / drawn[1]![i]!]));
    for (const ratio of ratios) expect(ratio).toBeCloseTo(ratios[0]!, 4);
  });
});
