import type { BandPoint } from '@brinewright/counsel';

/** Low, middle and high of a level at one instant. */
export interface Level {
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

/** A series read at any instant, straight between its points; undefined before its first and after its last. */
export function curveOf(points: readonly BandPoint[]): (ms: number) => Level | undefined {
  const instants = points.map((point) => Date.parse(point.at));
  return (ms) => {
    const after = firstNotBefore(instants, ms);
    const right = points[after];
    if (!right) return undefined;
    const left = points[after - 1];
    if (!left) return instants[0] === ms ? right : undefined;
    const start = instants[after - 1] ?? ms;
    const share = (ms - start) / ((instants[after] ?? ms) - start);
    const mix = (a: number, b: number): number => a + (b - a) * share;
    return { p05: mix(left.p05, right.p05), p50: mix(left.p50, right.p50), p95: mix(left.p95, right.p95) };
  };
}

/** Index of the first instant that is not before `ms`; the length where all are. */
function firstNotBefore(instants: readonly number[], ms: number): number {
  let low = 0;
  let high = instants.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((instants[middle] ?? 0) < ms) low = middle + 1;
    else high = middle;
  }
  return low;
}
