import type { Sheet } from '@brinewright/counsel';
import { useId, useMemo } from 'preact/hooks';
import type { Dates } from '../format/dates.ts';
import type { Numbers } from '../format/numbers.ts';
import { InTurn, RANK } from '../parts/in-turn.tsx';
import { words } from '../words/index.ts';
import { type Beside, BesideCourse } from './beside.tsx';
import { Deeds } from './deeds.tsx';
import type { Frame } from './frame.ts';
import { Neatline } from './neatline.tsx';
import { levelAt, Panel } from './panel.tsx';
import { ReadyHatch, readyLabel } from './ready.tsx';
import type { Scale } from './scale.ts';
import { instantOf, type ReadyWindow, readyWindow, type Stretch } from './time.ts';

interface CoursePlotProps {
  readonly sheet: Sheet;
  readonly stretch: Stretch;
  readonly frame: Frame;
  /** The instant under the cursor, if there is one. */
  readonly cursor: number | null;
  readonly dates: Dates;
  readonly numbers: Numbers;
  readonly beside?: Beside | undefined;
  /** What the line between known and forecast is called; today's, where not said. */
  readonly dividing?: string | undefined;
}

/** The drawing alone, from marks: window, today, a panel an analyte, deeds, the time axis, the cursor. */
export function CoursePlot({
  sheet,
  stretch,
  frame,
  cursor,
  dates,
  numbers,
  beside,
  dividing = words.chart.today,
}: CoursePlotProps) {
  const ids = useId();
  const { x, left, right, top, bottom, width, height } = frame;
  const [from, to] = x.domain;
  const inside = ({ at }: { readonly at: string }) => Date.parse(at) >= from && Date.parse(at) <= to;
  const window = readyWindow(sheet);
  const today = x(stretch.today);
  // Kept while only the cursor moves, and drawn one after the other: a panel is many points.
  const panels = useMemo(
    () =>
      frame.panels.map(({ series, y }) => (
        <InTurn key={series.analyte} rank={RANK.course} from={[sheet, frame, stretch, numbers]}>
          {() => (
            <Panel
              series={series}
              readings={sheet.readings.filter((one) => one.analyte === series.analyte && inside(one))}
              x={x}
              y={y}
              today={stretch.today}
              clip={`${ids}${series.analyte}`}
              printLevel={numbers.plain}
            />
          )}
        </InTurn>
      )),
    [sheet, frame, stretch, numbers],
  );
  return (
    <svg
      viewBox={`0 0 ${width} ${height}`}
      width={width}
      height={height}
      role="img"
      aria-label={sheet.sentence}
    >
      <defs>
        <pattern
          id={`${ids}h`}
          width="8"
          height="8"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <line class="hatch" x1="0" y1="0" x2="0" y2="8" />
        </pattern>
        {frame.panels.map(({ y, series }) => (
          <clipPath key={series.analyte} id={`${ids}${series.analyte}`}>
            <rect x={left} y={y.range[1]} width={right - left} height={y.range[0] - y.range[1]} />
          </clipPath>
        ))}
      </defs>
      {window && <ReadyHatch window={window} x={x} top={top} bottom={bottom} hatch={`${ids}h`} />}
      <line class="today" x1={today} x2={today} y1={top} y2={bottom} />
      {panels}
      {beside && <BesideCourse beside={beside} frame={frame} clip={ids} />}
      <Flag x={today} y={top - 4} text={dividing} scale={x} class="bold" />
      {window && overlaps(window, x) && (
        <Flag
          x={x(middleOf(window, x))}
          y={12}
          text={readyLabel(window, dates)}
          scale={x}
          class="ready-label"
        />
      )}
      <Deeds deeds={sheet.deeds.filter(inside)} x={x} y={bottom + 14} />
      <Neatline x={x} y={bottom + 42} stretch={stretch} dates={dates} />
      {cursor !== null && <Cursor at={cursor} frame={frame} />}
    </svg>
  );
}

const overlaps = ({ start, end }: ReadyWindow, { domain: [from, to] }: Scale) =>
  start < to && (end === null || end > from);

const middleOf = ({ start, end }: ReadyWindow, { domain: [from, to] }: Scale) =>
  (Math.max(start, from) + Math.min(end ?? to, to)) / 2;

/** A short label standing at a vertical line, kept on the paper. */
function Flag(props: { x: number; y: number; text: string; scale: Scale; class: string }) {
  const [left, right] = props.scale.range;
  const half = props.text.length * 3.6;
  const x = Math.max(left - 8 + half, Math.min(right - half, props.x));
  return (
    <text class={props.class} x={Math.round(x)} y={props.y} text-anchor="middle">
      {props.text}
    </text>
  );
}

function Cursor({ at, frame }: { at: number; frame: Frame }) {
  const x = frame.x(at);
  return (
    <g>
      <line class="cursor-line" x1={x} x2={x} y1={frame.top} y2={frame.bottom} />
      {frame.panels.map(({ series, y }) => (
        <circle
          key={series.analyte}
          class="cursor-dot"
          cx={x}
          cy={y(Math.min(levelAt(series.points, at, 'p50'), y.domain[1]))}
          r={4}
        />
      ))}
    </g>
  );
}

/** The instant a day on the chart stands for: today's is now, not its midnight. */
export function cursorInstant(stretch: Stretch, day: number, todayDay: number): number {
  return day === todayDay ? stretch.today : instantOf(stretch, day);
}
