import { quickSettings, type RunSettings, reportIndex, stateWidth } from '@brinewright/nitrogen';
import type { Eyes, Levels } from '../observe/reading.ts';
import type { Weigher } from '../observe/shape.ts';
import type { Problem } from '../problem.ts';
import { blockSize } from './block.ts';
import { type Coordinate, coordinatesOf, finder } from './coordinates.ts';
import { passageOf } from './passage.ts';
import { openRuns } from './runs.ts';
import { levelsAt, type Reader, readerOf, watchOf } from './watch.ts';
import { openWeighing, type Weighing } from './weighing.ts';

/**
 * A problem made ready: everything that does not depend on the particle is done once, and blocks of particles are
 * turned from scores into likelihoods or trajectories. Buffers belong to the model and are reused: not to be shared
 * between workers. What comes out for a particle does not depend on the others of its block.
 */
export interface Model {
  readonly problem: Problem;
  readonly coordinates: readonly Coordinate[];
  readonly outputDays: Float64Array;
  /**
   * Log likelihoods of all readings, −Infinity where impossible. `scores`: shape (count, coordinates), up to
   * `blockSize` particles; `out`: at least count numbers.
   */
  logLikelihoods(scores: Float64Array, count: number, out: Float64Array): void;
  /**
   * The same for particles given by their values, in fours; −Infinity also where less comes out than is asked of the
   * particle, which is then not run to its end.
   */
  weighProposals(values: Float32Array, count: number, asked: Float64Array, out: Float64Array): void;
  /** Copies what the last weighed particle of that number saw, water and eyes, into a place of another room. */
  keep(particle: number, room: Weigher, place: number): void;
  /** Room to weigh many particles' readings in, without running their water again. */
  openRoom(capacity: number): Weigher;
  /** Who looked. */
  readonly reader: Reader;
  /** Log likelihood of one particle. */
  logLikelihood(scores: Float64Array): number;
  /** Runs the water of up to `blockSize` particles through; `show` then says which is spoken of. */
  run(scores: Float64Array, count: number): void;
  /**
   * Makes a particle of the last run the shown one; false, and nothing changes, where its bacteria could never clear
   * the water or its run failed.
   */
  show(particle: number): boolean;
  /** Runs and shows one particle. */
  follow(scores: Float64Array): boolean;
  /** The shown particle's states at the outputs, shape (outputs, stateWidth). */
  readonly states: Float64Array;
  /** How the shown particle's run went. */
  readonly report: { readonly readyDay: number };
  /** Output rows in which a reading may have been taken: one, or before and after the deeds of its instant. */
  rowsOf(observation: number): readonly number[];
  /** What the shown particle supposes of an instrument and its reader; null for an instrument the tank has not used. */
  eyes(instrument: number | null): Eyes;
  /** The shown particle's water in an output row. */
  levels(row: number): Levels;
  /** Values of the shown particle, in coordinate units. */
  readonly values: Float64Array;
  /** Runs of the water since the model was made, and derivative evaluations in them. */
  solves(): number;
  evaluations(): number;
  /** Says how much of both counts in all: other threads may have done some, and some may have been done in vain. */
  recount(all: { readonly solves: number; readonly evaluations: number }): void;
}

/**
 * Makes a problem ready to be followed up to a day.
 * `outputDays`: further days at which the state is wanted, ascending; their rows come after those of the readings.
 */
export function prepare(
  problem: Problem,
  {
    until = problem.today,
    outputDays = [] as readonly number[],
    settings = quickSettings as RunSettings,
  } = {},
): Model {
  const coordinates = coordinatesOf(problem, until);
  const at = finder(coordinates);
  const watched = watchOf(problem);
  const passage = passageOf(problem, at, watched, { until, outputDays });
  const runs = openRuns(coordinates, passage, settings);
  const reader = readerOf(problem, coordinates, at);
  // A model that is only followed weighs nothing.
  let opened: Weighing | undefined;
  const weighing = (): Weighing => {
    opened ??= openWeighing(problem, passage, watched, reader, runs);
    return opened;
  };
  const finished = new Uint8Array(blockSize);
  let shown = { values: runs.values(0), row: runs.row(0) };

  const run = (scores: Float64Array, count: number): void => {
    runs.suppose(scores, count);
    const possible = runs.setOut(count);
    runs.run(possible, 0, passage.plan.days.length);
    runs.tally(possible);
    finished.fill(0);
    for (const particle of possible) finished[particle] = runs.arrived(particle) ? 1 : 0;
  };
  const show = (particle: number): boolean => {
    if (finished[particle] === 0) return false;
    shown = { values: runs.values(particle), row: runs.row(particle) };
    return true;
  };
  const logLikelihoods = (scores: Float64Array, count: number, out: Float64Array): void => {
    runs.suppose(scores, count);
    weighing().weigh(count, out);
  };
  const one = new Float64Array(1);
  const elsewhere = { solves: 0, evaluations: 0 };
  return {
    problem,
    coordinates,
    outputDays: Float64Array.from(outputDays),
    logLikelihoods,
    weighProposals(values, count, asked, out) {
      runs.suppose(values, count);
      weighing().weigh(count, out, asked);
    },
    keep: (particle, room, place) => weighing().keep(particle, room, place),
    openRoom: (capacity) => weighing().openRoom(capacity),
    reader,
    logLikelihood(scores) {
      logLikelihoods(scores, 1, one);
      return one[0]!;
    },
    run,
    show,
    follow(scores) {
      run(scores, 1);
      return show(0);
    },
    get states() {
      return shown.row.states;
    },
    get report() {
      return { readyDay: shown.row.report[reportIndex.readyDay]! };
    },
    get values() {
      return shown.values;
    },
    rowsOf: (observation) => watched.rowsOf.get(problem.observations[observation]!) ?? [],
    eyes: (instrument) => reader.eyes(shown.values, instrument),
    levels: (row) => levelsAt(shown.row.states, row),
    solves: () => elsewhere.solves + runs.solves,
    evaluations: () => elsewhere.evaluations + runs.evaluations,
    recount({ solves, evaluations }) {
      elsewhere.solves = solves - runs.solves;
      elsewhere.evaluations = evaluations - runs.evaluations;
    },
  };
}

/** Row of the first of the wanted output days. */
export const firstWantedRow = (model: Model): number =>
  model.states.length / stateWidth - model.outputDays.length;
