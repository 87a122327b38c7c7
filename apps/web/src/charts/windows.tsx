import { useId, useRef } from 'preact/hooks';
import type { Dates } from '../format/dates.ts';
import { DAY_MS } from '../format/dates.ts';
import { words } from '../words/index.ts';
import { linear, type Scale } from './scale.ts';
import { readyWindow } from './time.ts';
import { useWidth } from './use-width.ts';

/** What a course says of being ready; any sheet does. */
export interface Foreseen {
  readonly course: {
    readonly stage: string;
    readonly ready: { readonly p05: string | null; readonly p50: string | null; readonly p95: string | null };
    /** How far it looks ahead; where it does not say, `HORIZON_DAYS`. */
    readonly series?: readonly { readonly points: readonly { readonly at: string }[] }[];
  };
}

interface WindowRow {
  readonly tank: string;
  readonly name: string;
  readonly sheet: Foreseen;
}

interface WindowsProps {
  readonly rows: readonly WindowRow[];
  readonly now: number;
  readonly dates: Dates;
  readonly width?: number;
}

const ROW = 46;
const BAR = 14;
const HEAD = 22;
const FOOT = 30;

/** When each of several tanks is ready, on one axis of time. */
export function ReadyWindows({ rows, now, dates, width: first = 920 }: WindowsProps) {
  const figure = useRef<HTMLElement>(null);
  const width = useWidth(figure, first);
  const hatch = useId();
  const [left, right] = [2, width - 6];
  const x = linear(
    windowDomain(
      rows.map(({ sheet }) => sheet),
      now,
    ),
    [left, right],
  );
  const bottom = HEAD + rows.length * ROW;
  return (
    <figure class="chart windows" ref={figure}>
      <svg
        viewBox={`0 0 ${width} ${bottom + FOOT}`}
        width={width}
        height={bottom + FOOT}
        role="img"
        aria-label={rows.map((row) => `${row.name}: ${windowWords(row.sheet, now, dates)}`).join('; ')}
      >
        <Hatch id={hatch} />
        {ticksOf(x, right - left).map((at) => (
          <g key={at}>
            <line class="grid" x1={r(x(at))} x2={r(x(at))} y1={HEAD} y2={bottom} />
            <text class="soft" x={r(x(at))} y={bottom + 18} text-anchor="middle">
              {dates.day(at)}
            </text>
          </g>
        ))}
        {rows.map(({ tank, name, sheet }, i) => (
          <g key={tank} transform={`translate(0,${HEAD + i * ROW})`}>
            <line class="grid" x1={left} x2={right} y1={ROW} y2={ROW} />
            <text class="bold" x={left + 8} y={18}>
              {name.length > 28 ? `${name.slice(0, 27)}…` : name}
            </text>
            <text class="soft halo" x={right - 2} y={18} text-anchor="end">
              {windowWords(sheet, now, dates)}
            </text>
            <WindowMark sheet={sheet} now={now} x={x} hatch={hatch} y={ROW - BAR - 6} />
          </g>
        ))}
        <line class="today" x1={r(x(now))} x2={r(x(now))} y1={HEAD} y2={bottom} />
        <text class="bold" x={r(x(now))} y={HEAD - 6} text-anchor="start">
          {words.chart.today}
        </text>
      </svg>
      <figcaption>{words.rounds.windowsLede}</figcaption>
    </figure>
  );
}

/** The pattern windows are filled with; others refer to it by its id. */
export function Hatch({ id }: { id: string }) {
  return (
    <defs>
      <pattern id={id} width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line class="hatch" x1="0" y1="0" x2="0" y2="8" />
      </pattern>
    </defs>
  );
}

interface MarkProps {
  readonly sheet: Foreseen;
  readonly now: number;
  readonly x: Scale;
  readonly hatch: string;
  /** The upper edge. */
  readonly y: number;
}

/** One ready window: hatched, its middle a bar, an arrow where it runs on. */
export function WindowMark({ sheet, now, x, hatch, y }: MarkProps) {
  const window = readyWindow(sheet);
  if (window === null || isPast(sheet, now)) return null;
  const [, to] = x.domain;
  const [from, end] = [x(Math.max(window.start, now)), x(window.end ?? to)];
  const middle = window.middle === null ? null : r(x(Math.max(window.middle, now)));
  return (
    <g>
      <rect
        class="window"
        x={r(from)}
        y={y}
        width={r(Math.max(end - from, 3))}
        height={BAR}
        fill={`url(#${hatch})`}
      />
      {middle !== null && <line class="ready-middle" x1={middle} x2={middle} y1={y - 2} y2={y + BAR + 2} />}
      {window.end === null && (
        <path
          class="ready-edge open"
          d={`M${r(end - 7)},${y + 2}L${r(end)},${y + BAR / 2}L${r(end - 7)},${y + BAR - 2}`}
        />
      )}
    </g>
  );
}

/** Ready by now, all but certainly. */
const isPast = ({ course: { ready } }: Foreseen, now: number) =>
  ready.p95 !== null && Date.parse(ready.p95) <= now;

/** The window of one tank in a few words. */
export function windowWords(sheet: Foreseen, now: number, dates: Dates): string {
  const of = words.rounds.window;
  const window = readyWindow(sheet);
  if (window === null) return of.none;
  if (isPast(sheet, now)) return CLEAR.has(sheet.course.stage) ? of.past : of.none;
  const day = (at: number) => dates.day(Math.max(at, now));
  if (window.end === null) return words.whatIf.window.from(day(window.start));
  const [from, to] = [day(window.start), day(window.end)];
  return from === to ? words.whatIf.window.on(from) : words.chart.range(from, to);
}

const CLEAR: ReadonlySet<string> = new Set(['proving', 'settling', 'kept']);

/** The end of the axis: the last window that ends, or the horizon where one runs on; never less than two weeks. */
function lastOf(sheets: readonly Foreseen[], now: number): number {
  return (
    DAY_MS +
    sheets.reduce(
      (last, sheet) => {
        const window = readyWindow(sheet);
        if (window === null) return last;
        const horizon = sheet.course.series?.[0]?.points.at(-1)?.at;
        return Math.max(last, window.end ?? (horizon ? Date.parse(horizon) : now + HORIZON_DAYS * DAY_MS));
      },
      now + 14 * DAY_MS,
    )
  );
}

const HORIZON_DAYS = 90;

/** The axis several tanks share, from a little before today. */
export const windowDomain = (sheets: readonly Foreseen[], now: number): readonly [number, number] => [
  now - 2 * DAY_MS,
  lastOf(sheets, now),
];

/** Whole days to label, a week or more apart where days would crowd. */
export function ticksOf({ domain: [from, to] }: Scale, pixels: number): readonly number[] {
  const days = (to - from) / DAY_MS;
  const step = [2, 7, 14, 28, 56].find((s) => (s * pixels) / days >= 62) ?? 91;
  const first = new Date(from + 2 * DAY_MS);
  first.setHours(0, 0, 0, 0);
  const start = first.getTime() + DAY_MS;
  return Array.from(
    { length: Math.max(0, Math.floor((to - start) / (step * DAY_MS))) },
    (_, i) => start + (i + (step > 2 ? 1 : 0)) * step * DAY_MS,
  ).filter((at) => at < to - DAY_MS);
}

const r = (n: number) => Math.round(n * 10) / 10;
