import { expect, it } from 'vitest';
import { prepare } from '../src/index.ts';
import { blockSize } from '../src/model/block.ts';
import { stream } from '../src/numbers/random.ts';
import { seen, tank } from './tank.ts';

const problem = tank(14, [
  seen(6, 'ammonia', 4),
  seen(10, 'nitrite', 3),
  seen(14, 'ammonia', 0),
  seen(14, 'nitrite', 5),
]);
const model = prepare(problem);
const size = model.coordinates.length;

/** Draws from the prior, of which some can never clear the water. */
const scores = Float64Array.from({ length: blockSize * size }, (_, i) => stream(7, i).normal());
const together = new Float64Array(blockSize);
model.logLikelihoods(scores, blockSize, together);

it('weighs a particle alone as in a block, to the last bit', () => {
  expect(together.filter((value) => value === -Infinity).length).toBeGreaterThan(0);
  expect(together.filter((value) => value > -Infinity).length).toBeGreaterThan(blockSize / 2);
  for (let i = 0; i < blockSize; i++)
    expect(model.logLikelihood(scores.subarray(i * size, (i + 1) * size))).toBe(together[i]);
});

it('weighs particles alike in whatever blocks they come', () => {
  const apart = new Float64Array(blockSize);
  for (let from = 0; from < blockSize; from += 13) {
    const count = Math.min(13, blockSize - from);
    model.logLikelihoods(scores.subarray(from * size, (from + count) * size), count, apart.subarray(from));
  }
  expect(apart).toEqual(together);
});

it('shows each particle its own water', () => {
  model.run(scores, blockSize);
  for (const i of [0, 5, blockSize - 1]) {
    const shown = model.show(i);
    expect(shown).toBe(together[i]! > -Infinity);
    if (!shown) continue;
    const [levels, day] = [model.levels(0), model.report.readyDay];
    model.follow(scores.subarray(i * size, (i + 1) * size));
    expect([model.levels(0), model.report.readyDay]).toEqual([levels, day]);
    model.run(scores, blockSize);
  }
});
