import type { RunSettings } from '../kernel.ts';
import type { Plan } from '../plan.ts';

/**
 * Room for particles that go through one plan together: the caller fills rows of the inputs, runs, and reads the
 * same rows of the results. What comes out for a particle does not depend on which others it is run with.
 */
export interface Batch {
  /** Rows there are. */
  readonly capacity: number;
  /** Constants in kernel order, shape (capacity, biologyNames.length). */
  readonly biology: Float64Array;
  /** States at day 0, shape (capacity, stateWidth). */
  readonly start: Float64Array;
  /** What the plan's stops name, shape (capacity, width). */
  readonly amounts: Float64Array;
  /** States at the plan's outputs, shape (capacity, outputs, stateWidth). */
  readonly states: Float64Array;
  /** What the runs did, shape (capacity, reportWidth). */
  readonly reports: Float64Array;
  /** Rows in the order in which they are run; at first as they come. */
  readonly order: Int32Array;
  /**
   * Runs the first `count` rows of the order from day 0, or goes on with them from a stop at which all of them rest, up to
   * but without another stop; to the end where none is named. A batch without stages runs to the end at once.
   */
  run(count: number, from?: number, until?: number): void;
}

/** A row of reports. `outcome`: 0 done, 1 work limit, 2 not finite; the rest as in `RunReport`. */
export const reportIndex = { outcome: 0, evaluations: 1, reached: 2, readyDay: 3 } as const;
export const reportWidth = 4;

export interface BatchShape {
  readonly plan: Plan;
  /** Amounts a particle has. */
  readonly width: number;
  readonly capacity: number;
  readonly settings?: RunSettings;
}
