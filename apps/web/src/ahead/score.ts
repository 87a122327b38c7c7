import type { DrawnReading, Sheet } from '@brinewright/counsel';
import { levelAt } from '../charts/panel.tsx';

/** How an earlier forecast did against what was read after it. */
export interface Score {
  /** Readings since, within the days it looked ahead. */
  readonly all: number;
  /** Those whose interval meets the 90 % band of their instant. */
  readonly inside: number;
}

export function scoreOf(earlier: Sheet, readings: readonly DrawnReading[]): Score {
  const asOf = Date.parse(earlier.course.asOf);
  const since = readings.filter((reading) => {
    const points = earlier.course.series.find(({ analyte }) => analyte === reading.analyte)?.points ?? [];
    const last = points[points.length - 1];
    const at = Date.parse(reading.at);
    return at > asOf && last !== undefined && at <= Date.parse(last.at);
  });
  return { all: since.length, inside: since.filter((reading) => fits(earlier, reading)).length };
}

function fits(earlier: Sheet, { analyte, at, low, high }: DrawnReading): boolean {
  const points = earlier.course.series.find((series) => series.analyte === analyte)?.points ?? [];
  const instant = Date.parse(at);
  return (
    low <= levelAt(points, instant, 'p95') &&
    (high ?? Number.POSITIVE_INFINITY) >= levelAt(points, instant, 'p05')
  );
}
