import type { BandPoint, DrawnReading } from '@brinewright/counsel';
import { ticks } from 'd3-array';

/**
 * Top of a panel, mg/L as N. The band and the readings decide together, but neither may squash the other: the far
 * tail of the band is let run out of the top where it is more than twice its upper quartile, and so is the far end of
 * a coarse reading where it is more than twice all else. What runs out is drawn to the edge with an arrow.
 */
export function topOf(points: readonly BandPoint[], readings: readonly DrawnReading[]): number {
  const quartile = max(points.map((p) => p.p75));
  const band = Math.min(max(points.map((p) => p.p95)), 2 * quartile);
  const lows = max(readings.map((r) => r.low));
  const core = Math.max(band, lows * 1.15, 0.25);
  const highs = max(readings.map((r) => Math.min(r.high ?? 0, 2 * core)));
  return 1.06 * Math.max(core, highs);
}

/** Round values to rule a panel with: three or so, above zero. */
export function rulesOf(top: number): readonly number[] {
  return ticks(0, top, 3).filter((v) => v > 0 && v < top * 0.985);
}

const max = (values: readonly number[]) => values.reduce((a, b) => Math.max(a, b), 0);
