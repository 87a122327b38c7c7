import { biologyNames } from '../process/biology.ts';
import { stateWidth } from '../process/state.ts';
import { kernelBytes } from './bytes.ts';
import { layOut } from './instance.ts';
import { type Batch, type BatchShape, reportWidth } from './shape.ts';

/** What wasm/kernel.ts exports. Addresses and counts are 32-bit. */
interface KernelExports {
  restingWidth(): number;
  takePlan(...args: number[]): void;
  run(count: number, from: number, until: number): void;
}

/** A batch run four particles at a time in WebAssembly, with a memory of its own; null where that cannot be had. */
export function vectorBatch({ plan, width, capacity, settings }: Required<BatchShape>): Batch | null {
  const stops = plan.days.length;
  const counts = [
    ...[stops, plan.segments.length, capacity * biologyNames.length, capacity * stateWidth],
    ...[capacity * width, capacity * plan.outputs * stateWidth, capacity * reportWidth],
  ];
  // Tables of eight-byte numbers, then those of four-byte ones.
  const desk = layOut<KernelExports>(kernelBytes, (kernel) => [
    ...counts.map((count) => 8 * count),
    ...[4 * stops, 4 * stops, 4 * capacity, 4 * capacity * kernel.restingWidth()],
  ]);
  if (!desk) return null;
  const { kernel, buffer, at } = desk;
  const [days, segments, biology, start, amounts, states, reports] = counts.map(
    (count, table) => new Float64Array(buffer, at[table]!, count),
  ) as [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];
  const [kinds, slots, order, resting] = at.slice(counts.length) as [number, number, number, number];
  days.set(plan.days);
  segments.set(plan.segments);
  new Int32Array(buffer, kinds, stops).set(plan.kinds);
  new Int32Array(buffer, slots, stops).set(plan.slots);
  const ordered = new Int32Array(buffer, order, capacity);
  ordered.set(ordered.map((_, row) => row));
  kernel.takePlan(
    ...[days.byteOffset, kinds, slots, segments.byteOffset, biology.byteOffset, start.byteOffset],
    ...[amounts.byteOffset, width, states.byteOffset, plan.outputs, reports.byteOffset, resting, order],
    ...[settings.tolerance, settings.mostEvaluations],
  );
  return {
    capacity,
    biology,
    start,
    amounts,
    states,
    reports,
    order: ordered,
    run: (count, from = 0, until = stops) => kernel.run(count, from, until),
  };
}
