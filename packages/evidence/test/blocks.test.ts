import { expect, it } from 'vitest';
import { prepare } from '../src/index.ts';
import { blockSize } from '../src/model/block.ts';
import { valuesAt } from '../src/model/coordinates.ts';
import { putParticle } from '../src/numbers/fours.ts';
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

/** Draws wider than the prior, of which some can never clear the water. */
const scores = Float64Array.from({ length: blockSize * size }, (_, i) => 1.5 * stream(7, i).normal());
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

it('weighs what is asked of proposals stage by stage, and stops where it cannot be reached', () => {
  const values = new Float32Array(blockSize * size);
  const row = new Float64Array(size);
  for (let i = 0; i < blockSize; i++) {
    valuesAt(model.coordinates, scores.subarray(i * size, (i + 1) * size), row);
    putParticle(row, 0, values, i, size);
  }
  const asked = Float64Array.from(together, (value, i) =>
    i % 2 === 0 ? value - 0.01 : i % 4 === 1 ? value + 0.01 : 0.5,
  );
  const found = new Float64Array(blockSize);
  const before = model.evaluations();
  model.weighProposals(values, blockSize, asked, found);
  const stopped = model.evaluations() - before;
  for (let i = 0; i < blockSize; i++)
    if (i % 2 === 1 || together[i] === -Infinity) expect(found[i]).toBe(-Infinity);
    else expect(found[i]).toBeCloseTo(together[i]!, 3);
  const unasked = new Float64Array(blockSize).fill(-Infinity);
  model.weighProposals(values, blockSize, unasked, found);
  expect(stopped).toBeLessThan(0.9 * (model.evaluations() - before - stopped));
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
