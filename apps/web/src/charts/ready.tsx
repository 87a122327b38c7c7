import type { Dates } from '../format/dates.ts';
import { words } from '../words/index.ts';
import type { Scale } from './scale.ts';
import type { ReadyWindow } from './time.ts';

interface ReadyProps {
  readonly window: ReadyWindow;
  readonly x: Scale;
  readonly top: number;
  readonly bottom: number;
  readonly hatch: string;
}

/** The ready window: hatched, with its middle ruled; open at a side where it runs past the chart. */
export function ReadyHatch({ window, x, top, bottom, hatch }: ReadyProps) {
  const [from, to] = x.domain;
  const start = Math.max(window.start, from);
  const end = Math.min(window.end ?? to, to);
  if (start >= to || end <= from) return null;
  const rule = (at: number | null, name: string) =>
    at !== null && at >= from && at <= to && <line class={name} x1={x(at)} x2={x(at)} y1={top} y2={bottom} />;
  return (
    <g>
      <rect
        x={x(start)}
        y={top}
        width={Math.max(x(end) - x(start), 3)}
        height={bottom - top}
        fill={`url(#${hatch})`}
      />
      {rule(window.start, 'ready-edge')}
      {rule(window.end, 'ready-edge')}
      {rule(window.middle, 'ready-middle')}
    </g>
  );
}

/** What the window is called, in the words of its dates. */
export function readyLabel(window: ReadyWindow, dates: Dates): string {
  if (window.end === null) return words.chart.readyFrom(dates.day(window.start));
  const [from, to] = [dates.day(window.start), dates.day(window.end)];
  return from === to ? words.chart.readyOn(from) : words.chart.readyBetween(from, to);
}
