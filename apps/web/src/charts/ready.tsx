import type { Dates } from '../format/dates.ts';
import { words } from '../words/index.ts';
import type { Scale } from './scale.ts';
import type { ReadyWindow, Stretch } from './time.ts';

interface ReadyProps {
  readonly window: ReadyWindow;
  readonly stretch: Stretch;
  readonly x: Scale;
  readonly top: number;
  readonly bottom: number;
  readonly hatch: string;
}

/** The ready window: hatched, with its middle ruled; open to the right where it runs past the chart. */
export function ReadyHatch({ window, stretch, x, top, bottom, hatch }: ReadyProps) {
  const start = Math.max(window.start, stretch.opened);
  const end = Math.min(window.end ?? stretch.end, stretch.end);
  if (start >= stretch.end) return null;
  const width = Math.max(x(end) - x(start), 3);
  const middle = window.middle !== null && window.middle <= stretch.end ? x(window.middle) : null;
  return (
    <g>
      <rect x={x(start)} y={top} width={width} height={bottom - top} fill={`url(#${hatch})`} />
      <line class="ready-edge" x1={x(start)} x2={x(start)} y1={top} y2={bottom} />
      {window.end !== null && <line class="ready-edge" x1={x(end)} x2={x(end)} y1={top} y2={bottom} />}
      {middle !== null && <line class="ready-middle" x1={middle} x2={middle} y1={top} y2={bottom} />}
    </g>
  );
}

/** What the window is called, in the words of its dates. */
export function readyLabel(window: ReadyWindow, dates: Dates): string {
  if (window.end === null) return words.chart.readyFrom(dates.day(window.start));
  const [from, to] = [dates.day(window.start), dates.day(window.end)];
  return from === to ? words.chart.readyOn(from) : words.chart.readyBetween(from, to);
}
