import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { plainBatch } from '../src/batch/plain.ts';
import { vectorBatch } from '../src/batch/vector.ts';
import {
  type Batch,
  biologyNames,
  type Plan,
  quickSettings,
  type RunSettings,
  reportIndex,
  reportWidth,
  stateIndex,
  stateNames,
  stateWidth,
} from '../src/index.ts';
import { type Scenario, scenarios, startUps } from './support/scenarios.ts';

const tools: { kernels: { module: string }[]; kernelText(kernel: object): Promise<string> } = await import(
  new URL('../../../tools/build-kernel.mjs', import.meta.url).href
);

function fill(batch: Batch, row: number, { biology, start, amounts }: Scenario): void {
  batch.biology.set(biology, row * biologyNames.length);
  batch.start.set(start, row * stateWidth);
  batch.amounts.set(amounts, row * amounts.length);
}

function openBoth(plan: Plan, width: number, capacity: number, settings: RunSettings = quickSettings) {
  const shape = { plan, width, capacity, settings };
  const vector = vectorBatch(shape);
  if (!vector) throw new Error('this runtime has no WebAssembly vectors');
  return { plain: plainBatch(shape), vector };
}

/** Particles of one plan: the first scenario's, each with the biology and start of its own. */
function sharing(one: Scenario, others: readonly Scenario[]): Scenario[] {
  return [one, ...others.map(({ biology, start }) => ({ ...one, biology, start }))];
}

/** Where everything is about as large as a test kit can tell apart: mg N/L, mg N/L/d, meq/L. */
const floor = 0.05;

/** Runs 320 draws by both kernels, eight to a plan. */
function runBoth(drawn: readonly Scenario[]) {
  return Array.from({ length: drawn.length / 8 }, (_, group) => {
    const particles = sharing(drawn[group * 8]!, drawn.slice(group * 8 + 1, group * 8 + 8));
    const { plan, amounts } = particles[0]!;
    const batches = openBoth(plan, amounts.length, particles.length);
    for (const batch of [batches.plain, batches.vector]) {
      for (const [row, particle] of particles.entries()) fill(batch, row, particle);
      batch.run(particles.length);
    }
    return batches;
  });
}

describe('the vector kernel against the plain one', () => {
  const pairs = runBoth(fc.sample(fc.noBias(scenarios), { seed: 20_250_201, numRuns: 320 }));
  const differences = (name: (typeof stateNames)[number]): number[] =>
    pairs
      .flatMap(({ plain, vector }) =>
        Array.from(plain.states, (value, at) =>
          at % stateWidth === stateIndex[name]
            ? Math.abs(value - vector.states[at]!) / (floor + Math.abs(value))
            : -1,
        ),
      )
      .filter((difference) => difference >= 0)
      .sort((a, b) => a - b);

  it.each(stateNames)('agrees about %s', (name) => {
    const found = differences(name);
    expect(found.length).toBe(320 * 21);
    expect(found[Math.floor(0.95 * found.length)]).toBeLessThan(1e-3);
    expect(found.at(-1)).toBeLessThan(2e-2);
  });

  it('agrees about the day the water is ready, and on the outcome', () => {
    const started = runBoth(fc.sample(fc.noBias(startUps), { seed: 20_250_204, numRuns: 320 }));
    const days = started.flatMap(({ plain, vector }) =>
      Array.from({ length: plain.capacity }, (_, row) => {
        const at = row * reportWidth;
        expect(vector.reports[at + reportIndex.outcome]).toBe(plain.reports[at + reportIndex.outcome]);
        expect(vector.reports[at + reportIndex.reached]).toBe(60);
        return [plain, vector].map((batch) => batch.reports[at + reportIndex.readyDay]!);
      }),
    );
    expect(days.filter(([day]) => day! < Infinity).length).toBeGreaterThan(150);
    const apart = days.map(([a, b]) => (a === b ? 0 : Math.abs(a! - b!))).sort((a, b) => a - b);
    expect(apart.at(-1)).toBeLessThan(0.02);
  });

  it('does about the same work', () => {
    const work = (which: 'plain' | 'vector'): number =>
      pairs.reduce(
        (sum, pair) =>
          sum +
          pair[which].reports.reduce(
            (all, x, at) => (at % reportWidth === reportIndex.evaluations ? all + x : all),
            0,
          ),
        0,
      );
    expect(work('vector') / work('plain')).toBeGreaterThan(0.9);
    expect(work('vector') / work('plain')).toBeLessThan(1.1);
  });
});

it('gives a particle the same bytes whichever others it is run with', () => {
  const drawn = fc.sample(fc.noBias(scenarios), { seed: 20_250_202, numRuns: 23 });
  const particles = sharing(drawn[0]!, drawn.slice(1));
  const { plan, amounts } = particles[0]!;
  const statesOf = (order: readonly number[]): Map<number, string> => {
    const { vector } = openBoth(plan, amounts.length, order.length);
    for (const [row, index] of order.entries()) fill(vector, row, particles[index]!);
    vector.run(order.length);
    const size = plan.outputs * stateWidth;
    return new Map(
      order.map((index, row) => [
        index,
        [
          ...vector.states.subarray(row * size, (row + 1) * size),
          ...vector.reports.subarray(row * reportWidth, (row + 1) * reportWidth),
        ].join(),
      ]),
    );
  };
  const all = [...particles.keys()];
  const together = statesOf(all);
  const backwards = statesOf(all.toReversed());
  for (const index of all) {
    expect(backwards.get(index)).toBe(together.get(index));
    expect(statesOf([index]).get(index)).toBe(together.get(index));
  }
});

it('comes to the same in stages, and goes on with those listed alone', () => {
  const drawn = fc.sample(fc.noBias(scenarios), { seed: 20_250_205, numRuns: 9 });
  const particles = sharing(drawn[0]!, drawn.slice(1));
  const { plan, amounts } = particles[0]!;
  const { plain, vector } = openBoth(plan, amounts.length, particles.length);
  const size = plan.outputs * stateWidth;
  for (const batch of [plain, vector]) {
    for (const [row, particle] of particles.entries()) fill(batch, row, particle);
    batch.run(particles.length);
    const whole = batch.states.slice();
    batch.states.fill(-1);
    const cuts = [20, 40].map((day) => plan.days.findIndex((stop) => stop > day));
    batch.run(particles.length, 0, cuts[0]);
    batch.run(particles.length, cuts[0], cuts[1]);
    batch.order.set([7, 2, 4]);
    batch.run(3, cuts[1]);
    for (const row of [2, 4, 7])
      for (let at = row * size; at < (row + 1) * size; at++)
        expect(Math.abs(batch.states[at]! - whole[at]!)).toBeLessThan(1e-3 * (floor + Math.abs(whole[at]!)));
  }
  // The last output of a particle that was left behind was not written; a batch without stages wrote it at once.
  expect(vector.states[5 * size + size - 1]).toBe(-1);
  expect(plain.states[5 * size + size - 1]).not.toBe(-1);
});

it('says which particles gave up, and does not let them disturb the others', () => {
  const drawn = fc.sample(fc.noBias(scenarios), { seed: 20_250_203, numRuns: 6 });
  const particles = sharing(drawn[0]!, drawn.slice(1));
  const { plan, amounts } = particles[0]!;
  const { vector } = openBoth(plan, amounts.length, 6);
  const run = (): number[] => {
    vector.run(6);
    return Array.from({ length: 6 }, (_, row) => vector.reports[row * reportWidth + reportIndex.outcome]!);
  };
  for (const [row, particle] of particles.entries()) fill(vector, row, particle);
  expect(run()).toEqual([0, 0, 0, 0, 0, 0]);
  const before = vector.states.slice(3 * plan.outputs * stateWidth);
  vector.start[2 * stateWidth + stateIndex.ammonia] = Number.NaN;
  expect(run()).toEqual([0, 0, 2, 0, 0, 0]);
  expect(vector.states.slice(3 * plan.outputs * stateWidth)).toEqual(before);
  const hurried = openBoth(plan, amounts.length, 6, { tolerance: 1e-4, mostEvaluations: 100 });
  for (const [row, particle] of particles.entries())
    for (const batch of [hurried.plain, hurried.vector]) fill(batch, row, particle);
  hurried.vector.run(6);
  hurried.plain.run(6);
  for (const batch of [hurried.plain, hurried.vector])
    for (let row = 0; row < 6; row++) {
      expect(batch.reports[row * reportWidth + reportIndex.outcome]).toBe(1);
      expect(batch.reports[row * reportWidth + reportIndex.reached]).toBeLessThan(60);
    }
});

it.each(tools.kernels)(
  '$module carries what its source compiles to',
  async (kernel) => {
    const committed = readFileSync(new URL(`../../../${kernel.module}`, import.meta.url), 'utf8');
    expect(committed === (await tools.kernelText(kernel)), 'run: node tools/build-kernel.mjs').toBe(true);
  },
  60_000,
);
