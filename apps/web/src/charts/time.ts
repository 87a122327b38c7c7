import type { Sheet } from '@brinewright/counsel';
import { DAY_MS } from '../format/dates.ts';

/** The stretch of time a course chart shows, epoch milliseconds. */
export interface Stretch {
  readonly opened: number;
  readonly today: number;
  readonly end: number;
}

/** The ready window on the time axis; `end` is null where it runs past the horizon. */
export interface ReadyWindow {
  readonly start: number;
  readonly middle: number | null;
  readonly end: number | null;
}

const instant = (text: string | null) => (text === null ? null : Date.parse(text));

export function readyWindow({ course }: Sheet): ReadyWindow | null {
  const start = instant(course.ready.p05);
  if (start === null) return null;
  return { start, middle: instant(course.ready.p50), end: instant(course.ready.p95) };
}

/** From day 0 to a little past the ready window, or five weeks ahead where there is none; whole days. */
export function stretchOf(sheet: Sheet): Stretch {
  const points = sheet.course.series[0]?.points ?? [];
  const today = Date.parse(sheet.course.asOf);
  const opened = points[0] ? Date.parse(points[0].at) : today;
  const horizon = Date.parse(points[points.length - 1]?.at ?? sheet.course.asOf);
  const window = readyWindow(sheet);
  const known = window?.end ?? (window === null ? today + 28 * DAY_MS : horizon);
  const wanted = Math.max(known + 6 * DAY_MS, today + 10 * DAY_MS, opened + 21 * DAY_MS);
  const days = Math.ceil((Math.min(wanted, Math.max(horizon, today + DAY_MS)) - opened) / DAY_MS);
  return { opened, today, end: opened + Math.max(days, 1) * DAY_MS };
}

/** Day numbers to label so that labels stand at least `apart` pixels from each other. */
export function dayTicks(days: number, pixels: number, apart: number): readonly number[] {
  const step = [1, 2, 7, 14, 28, 56, 91, 182, 364].find((s) => (s * pixels) / days >= apart) ?? 364;
  const count = Math.floor(days / step);
  return Array.from({ length: count + 1 }, (_, i) => i * step);
}
