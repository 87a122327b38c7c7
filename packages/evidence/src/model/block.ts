import {
  biologyNames,
  medianBiology,
  openBatch,
  type Plan,
  packBiology,
  type RunSettings,
  reportIndex,
  reportWidth,
  stateWidth,
} from '@brinewright/nitrogen';

/** Particles run together: what is done between two chances to stop. */
export const blockSize = 128;

/** Where one run's numbers are kept in the batch. */
interface Row {
  readonly biology: Float64Array;
  readonly start: Float64Array;
  readonly amounts: Float64Array;
  readonly states: Float64Array;
  readonly report: Float64Array;
}

/** A block of particles: values of each, and the row of the batch in which it is run, if it is. */
export interface Block {
  /** Values of a particle, in coordinate units. */
  values(particle: number): Float64Array;
  /** Inputs and results of a run. */
  row(index: number): Row;
  /** Says in which row a particle is run; null where it is not. */
  seat(particle: number, row: number | null): void;
  /** Row of a particle; null where it was not run or its run did not come to its end. */
  finished(particle: number): Row | null;
  /** Runs the first rows; returns the derivative evaluations it took. */
  run(rows: number): number;
}

/** Opens a block for a plan. `width`: amounts of a run. `size`: coordinates of a particle. */
export function openBlock(plan: Plan, width: number, size: number, settings: RunSettings): Block {
  const batch = openBatch({ plan, width, capacity: blockSize, settings });
  const part = (table: Float64Array, length: number, index: number): Float64Array =>
    table.subarray(index * length, (index + 1) * length);
  const indices = Array.from({ length: blockSize }, (_, index) => index);
  const rows = indices.map(
    (index): Row => ({
      biology: part(batch.biology, biologyNames.length, index),
      start: part(batch.start, stateWidth, index),
      amounts: part(batch.amounts, width, index),
      states: part(batch.states, plan.outputs * stateWidth, index),
      report: part(batch.reports, reportWidth, index),
    }),
  );
  const usual = packBiology(medianBiology);
  for (const { biology } of rows) biology.set(usual);
  const values = indices.map(() => new Float64Array(size));
  const seats = new Array<Row | null>(blockSize).fill(null);
  return {
    values: (particle) => values[particle]!,
    row: (index) => rows[index]!,
    seat(particle, row) {
      seats[particle] = row === null ? null : rows[row]!;
    },
    finished(particle) {
      const row = seats[particle] ?? null;
      return row?.report[reportIndex.outcome] === 0 ? row : null;
    },
    run(count) {
      batch.run(count);
      let evaluations = 0;
      for (let i = 0; i < count; i++) evaluations += rows[i]!.report[reportIndex.evaluations]!;
      return evaluations;
    },
  };
}
