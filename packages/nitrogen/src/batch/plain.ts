import { newReport, run } from '../kernel.ts';
import { biologyNames } from '../process/biology.ts';
import { stateWidth } from '../process/state.ts';
import { type Batch, type BatchShape, reportIndex, reportWidth } from './shape.ts';

const outcomes = { done: 0, 'work-limit': 1, 'not-finite': 2 } as const;

/** A batch run one particle after another by the TypeScript kernel. */
export function plainBatch({ plan, width, capacity, settings }: Required<BatchShape>): Batch {
  const biology = new Float64Array(capacity * biologyNames.length);
  const start = new Float64Array(capacity * stateWidth);
  const amounts = new Float64Array(capacity * width);
  const states = new Float64Array(capacity * plan.outputs * stateWidth);
  const reports = new Float64Array(capacity * reportWidth);
  const order = Int32Array.from({ length: capacity }, (_, row) => row);
  const report = newReport();
  const row = (table: Float64Array, size: number, index: number): Float64Array =>
    table.subarray(index * size, (index + 1) * size);
  return {
    capacity,
    biology,
    start,
    amounts,
    states,
    reports,
    order,
    run(count, from = 0) {
      if (from > 0) return;
      for (const i of order.subarray(0, count)) {
        run(
          row(biology, biologyNames.length, i),
          row(start, stateWidth, i),
          plan,
          row(amounts, width, i),
          row(states, plan.outputs * stateWidth, i),
          settings,
          report,
        );
        const at = i * reportWidth;
        reports[at + reportIndex.outcome] = outcomes[report.outcome];
        reports[at + reportIndex.evaluations] = report.evaluations;
        reports[at + reportIndex.reached] = report.reached;
        reports[at + reportIndex.readyDay] = report.readyDay;
      }
    },
  };
}
