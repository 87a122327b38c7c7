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

/** Growth, wake and inoculum are the first three; vigours of two spells the last two. */
const leaning = {
  size: 2,
  growth: 0,
  wake: 1,
  slope: -0.4,
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

const moves = {
  'a reach': (mover: Mover, count: number, word: number) => mover.propose(count, 1, word, 40),
  'a step': (mover: Mover, count: number, word: number) => mover.propose(count, 0.4, word, 40),
  'a shake': (mover: Mover, count: number, word: number) => mover.shake(count, 0.3, 0.6, word, 40),
};

describe('the two movers', () => {
  const vector = vectorMover({ priors, capacity });
  const plain = plainMover({ priors, capacity });
  vector?.takeShape(shape);
  plain.takeShape(shape);

  it.each(Object.entries(moves))('agree on %s', (_, move) => {
    expect(vector, 'this runtime has no WebAssembly vectors').not.toBeNull();
    fc.assert(
      fc.property(
        fc.array(particle, { minLength: 1, maxLength: capacity }),
        fc.integer(),
        (particles, word) => {
          for (const mover of [vector!, plain]) {
            for (const [i, one] of particles.entries()) place(mover, i, one);
            move(mover, particles.length, word);
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

  it('tell what the prior weighs and where a whole reach comes from', () => {
    place(plain, 0, { scores: [0, 0, 0, 0, 0, 0, 0], gamma: 8 });
    plain.shake(1, 0, 0.6, 5, 0);
    expect(numbersOf(plain.proposals, 0)).toEqual([0, 0, 0, 0, 0, 0, 0]);
    expect(numbersOf(plain.values, 0)[1]).toBeCloseTo(3, 6);
    plain.propose(1, 1, 5, 0);
    const afresh = numbersOf(plain.proposals, 0);
    place(plain, 0, { scores: [2, -1, 1, 0, 1, 0, -2], gamma: 8 });
    plain.propose(1, 1, 5, 0);
    expect(numbersOf(plain.proposals, 0)).not.toEqual(afresh);
  });
});
