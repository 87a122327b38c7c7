import { biologyNames } from '../process/biology.ts';
import { stateWidth } from '../process/state.ts';
import { kernelBytes } from './bytes.ts';
import { instanceOf } from './instance.ts';
import { type Batch, type BatchShape, reportWidth } from './shape.ts';

/** What wasm/kernel.ts exports. Addresses and counts are 32-bit. */
interface KernelExports {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  free(): number;
  restingWidth(): number;
  takePlan(...args: number[]): void;
  run(count: number, from: number, until: number): void;
}

const pageBytes = 65_536;

/** A batch run four particles at a time in WebAssembly, with a memory of its own; null where that cannot be had. */
export function vectorBatch({ plan, width, capacity, settings }: Required<BatchShape>): Batch | null {
  const exports = instanceOf(kernelBytes) as KernelExports | null;
  if (!exports) return null;
  const { memory } = exports;
  const stops = plan.days.length;
  const counts = {
    days: stops,
    segments: plan.segments.length,
    biology: capacity * biologyNames.length,
    start: capacity * stateWidth,
    amounts: capacity * width,
    states: capacity * plan.outputs * stateWidth,
    reports: capacity * reportWidth,
  };
  // Tables of eight-byte numbers one after another, then those of four-byte ones.
  let end = Math.ceil(exports.free() / 16) * 16;
  const place = (bytes: number): number => {
    const at = end;
    end += bytes;
    return at;
  };
  const names = Object.keys(counts) as (keyof typeof counts)[];
  const at = Object.fromEntries(names.map((name) => [name, place(8 * counts[name])])) as Record<
    keyof typeof counts,
    number
  >;
  const whole = { kinds: place(4 * stops), slots: place(4 * stops), order: place(4 * capacity) };
  const resting = place(4 * capacity * exports.restingWidth());
  memory.grow(Math.ceil((end - memory.buffer.byteLength) / pageBytes));
  const table = (name: keyof typeof counts): Float64Array =>
    new Float64Array(memory.buffer, at[name], counts[name]);
  table('days').set(plan.days);
  table('segments').set(plan.segments);
  new Int32Array(memory.buffer, whole.kinds, stops).set(plan.kinds);
  new Int32Array(memory.buffer, whole.slots, stops).set(plan.slots);
  const order = new Int32Array(memory.buffer, whole.order, capacity);
  order.set(order.map((_, row) => row));
  exports.takePlan(
    ...[at.days, whole.kinds, whole.slots, at.segments, at.biology, at.start, at.amounts, width],
    ...[at.states, plan.outputs, at.reports, resting, whole.order],
    ...[settings.tolerance, settings.mostEvaluations],
  );
  return {
    capacity,
    biology: table('biology'),
    start: table('start'),
    amounts: table('amounts'),
    states: table('states'),
    reports: table('reports'),
    order,
    run: (count, from = 0, until = stops) => exports.run(count, from, until),
  };
}
