import type { Sheet } from '@brinewright/counsel';
import { DAY_MS } from '../format/dates.ts';

/** The stretch of time a course chart shows, in whole days since the opening; instants are epoch milliseconds. */
export interface Stretch {
  readonly opened: number;
  readonly today: number;
  readonly firstDay: number;
  readonly lastDay: number;
  /** Whether the course begins before what is shown. */
  readonly shortened: boolean;
}

export const instantOf = ({ opened }: Stretch, day: number) => opened + day * DAY_MS;
export const dayOf = ({ opened }: Stretch, at: number) => (at - opened) / DAY_MS;

/** The ready window on the time axis; `end` is null where it runs past the horizon. */
export interface ReadyWindow {
  readonly start: number;
  readonly middle: number | null;
  readonly end: number | null;
}

const instant = (text: string | null) => (text === null ? null : Date.parse(text));

interface Foreseen {
  readonly course: { readonly ready: Readonly<Record<'p05' | 'p50' | 'p95', string | null>> };
}

const windows = new WeakMap<object, ReadyWindow | null>();

/** Read once for each course: a list of a thousand asks for them all at every turn. */
export function readyWindow({ course: { ready } }: Foreseen): ReadyWindow | null {
  const known = windows.get(ready);
  if (known !== undefined) return known;
  const start = instant(ready.p05);
  const window = start === null ? null : { start, middle: instant(ready.p50), end: instant(ready.p95) };
  windows.set(ready, window);
  return window;
}

/** A tank older than this is shown from `LOOKED_BACK` days before today, unless its whole story is asked for. */
const YOUNG = 120;
const LOOKED_BACK = 70;

/**
 * From the course's first day (day 0, but of an old tank later) to a little past the ready window, or four weeks ahead where there is none.
 * @param reach an instant that must be in it too, as far as the course goes
 */
export function stretchOf(sheet: Sheet, whole = false, reach?: number): Stretch {
  const points = sheet.course.series[0]?.points ?? [];
  const today = Date.parse(sheet.course.asOf);
  const start = points[0] ? Date.parse(points[0].at) : today;
  const opened = Date.parse(sheet.deeds.find(({ kind }) => kind === 'opened')?.at ?? sheet.course.asOf);
  const age = (today - opened) / DAY_MS;
  const horizon = (Date.parse(points[points.length - 1]?.at ?? sheet.course.asOf) - opened) / DAY_MS;
  const window = readyWindow(sheet);
  const known = window === null ? age + 28 : window.end === null ? horizon : (window.end - opened) / DAY_MS;
  const reached = reach === undefined ? 0 : (reach - opened) / DAY_MS + 1;
  const wanted = Math.max(known + 6, age + 10, 21, reached);
  const lastDay = Math.max(1, Math.ceil(Math.min(wanted, Math.max(horizon, age + 1))));
  const shortened = !whole && age > YOUNG;
  const firstDay = shortened ? Math.floor(age) - LOOKED_BACK : Math.round((start - opened) / DAY_MS);
  return { opened, today, firstDay, lastDay, shortened };
}

/** Day numbers to label, so that labels stand at least `apart` pixels from each other. */
export function dayTicks({ firstDay, lastDay }: Stretch, pixels: number, apart: number): readonly number[] {
  const days = lastDay - firstDay;
  const step = [1, 2, 7, 14, 28, 56, 91, 182, 364].find((s) => (s * pixels) / days >= apart) ?? 728;
  const first = Math.ceil(firstDay / step) * step;
  return Array.from({ length: Math.floor((lastDay - first) / step) + 1 }, (_, i) => first + i * step);
}
