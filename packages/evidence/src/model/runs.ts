import {
  type BiologyName,
  biologyIndex,
  type RunSettings,
  reportIndex,
  stateIndex,
} from '@brinewright/nitrogen';
import { takeParticle } from '../numbers/fours.ts';
import { type Block, openBlock } from './block.ts';
import { type Coordinate, finder, valuesAt } from './coordinates.ts';
import type { Passage } from './passage.ts';

/** A tank whose bacteria could not live on what is left at this level (mg N/L) would never read zero: not believed. */
const mostResidual = 0.1;

/** A block of particles on their passage: supposed to be like something, run, and looked at. */
export interface Runs extends Pick<Block, 'values' | 'row' | 'arrived'> {
  /** Supposes particles to be like scores, shape (count, coordinates), or like values in fours. */
  suppose(like: Float64Array | Float32Array, count: number): void;
  /** Fills in what the supposed particles are run with; lists those whose bacteria could clear the water. */
  setOut(count: number): Int32Array;
  /** Runs the particles listed through the stops from one to another. */
  run(listed: Int32Array, from: number, until: number): void;
  /** Counts the work done for particles that were run. */
  tally(run: Int32Array): void;
  readonly solves: number;
  readonly evaluations: number;
}

export function openRuns(
  coordinates: readonly Coordinate[],
  { plan, width, fills }: Passage,
  settings: RunSettings,
): Runs {
  const size = coordinates.length;
  const block = openBlock(plan, width, size, settings);
  const fillBiology = biologyFiller(coordinates);
  const fillStart = startFiller(finder(coordinates));
  let solves = 0;
  let evaluations = 0;
  return {
    values: block.values,
    row: block.row,
    arrived: block.arrived,
    run: block.run,
    suppose(like, count) {
      for (let particle = 0; particle < count; particle++) {
        const values = block.values(particle);
        if (like instanceof Float32Array) takeParticle(like, particle, values, 0, size);
        else valuesAt(coordinates, like.subarray(particle * size, (particle + 1) * size), values);
      }
    },
    setOut(count) {
      const listed = new Int32Array(count);
      let possible = 0;
      for (let particle = 0; particle < count; particle++) {
        const values = block.values(particle);
        const { biology, start, amounts } = block.row(particle);
        fillBiology(values, biology);
        if (!canClear(biology)) continue;
        fillStart(values, start);
        for (const fill of fills) fill(values, amounts);
        listed[possible++] = particle;
      }
      return listed.subarray(0, possible);
    },
    tally(run) {
      solves += run.length;
      for (const particle of run) evaluations += block.row(particle).report[reportIndex.evaluations]!;
    },
    get solves() {
      return solves;
    },
    get evaluations() {
      return evaluations;
    },
  };
}

function biologyFiller(
  coordinates: readonly Coordinate[],
): (values: Float64Array, biology: Float64Array) => void {
  const pairs = coordinates.flatMap(({ name }, from) =>
    name in biologyIndex ? [[from, biologyIndex[name as BiologyName]] as const] : [],
  );
  return (values, biology) => {
    for (const [from, to] of pairs) biology[to] = values[from]!;
    biology[biologyIndex.ceilingN] = 1.2 * biology[biologyIndex.ceilingA]!;
  };
}

function startFiller(at: (name: string) => number): (values: Float64Array, start: Float64Array) => void {
  const inoculum = at('inoculum');
  const ratio = at('ratio');
  const levels = (['ammonia', 'nitrite', 'nitrate', 'alkalinity'] as const).map(
    (name) => [at(`${name}0`), stateIndex[name]] as const,
  );
  const organic = at('organic0');
  return (values, start) => {
    start.fill(0);
    for (const [from, to] of levels) start[to] = Math.max(0, values[from]!);
    start[stateIndex.food] = values[organic]!;
    start[stateIndex.capacityA] = values[inoculum]!;
    start[stateIndex.capacityN] = values[inoculum]! * values[ratio]!;
    start[stateIndex.put] =
      start[stateIndex.ammonia]! + start[stateIndex.nitrite]! + start[stateIndex.nitrate]! + values[organic]!;
  };
}

const { halfA, lossA, growthA, halfN, lossN, growthN } = biologyIndex;

/** Whether bacteria like these can bring the water below the least a settled tank must reach. */
const canClear = (biology: Float64Array): boolean =>
  clears(biology[halfA]!, biology[lossA]!, biology[growthA]!) &&
  clears(biology[halfN]!, biology[lossN]!, biology[growthN]!);

function clears(half: number, loss: number, growth: number): boolean {
  const residual = (half * loss) / (growth - loss);
  return residual >= 0 && residual <= mostResidual;
}
