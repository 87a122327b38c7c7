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

/** A block of particles: values of each, and the row of the batch it is run in. */
export interface Block {
  /** Values of a particle, in coordinate units. */
  values(particle: number): Float64Array;
  /** Inputs and results of a particle's run. */
  row(particle: number): Row;
  /** Runs the particles listed through the stops from one to another. */
  run(listed: Int32Array, from: number, until: number): void;
  /** Whether a particle that was run has come as far as it should. */
  arrived(particle: number): boolean;
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
  return {
    values: (particle) => values[particle]!,
    row: (particle) => rows[particle]!,
    run(listed, from, until) {
      batch.order.set(listed);
      batch.run(listed.length, from, until);
    },
    arrived: (particle) => rows[particle]!.report[reportIndex.outcome] === 0,
  };
}
