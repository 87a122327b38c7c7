import type { Sheet } from '@brinewright/counsel';
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { Dates } from '../format/dates.ts';
import { DAY_MS } from '../format/dates.ts';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';
import { Deeds } from './deeds.tsx';
import { topOf } from './levels.ts';
import { Neatline } from './neatline.tsx';
import { levelAt, Panel } from './panel.tsx';
import { dayWords, spoken } from './read-out.ts';
import { ReadyHatch, readyLabel } from './ready.tsx';
import type { Scale } from './scale.ts';
import { linear } from './scale.ts';
import { type ReadyWindow, readyWindow, type Stretch, stretchOf } from './time.ts';

interface CourseChartProps {
  readonly sheet: Sheet;
  readonly dates: Dates;
  readonly numbers: Numbers;
  /** Width to draw at before the page has been measured; a printed page keeps it. */
  readonly width?: number;
}

const PANEL = { ammonia: 116, nitrite: 116, nitrate: 104 } as const;
const HEAD = 34;
const LABELS = 40;

/** Where the water has been and goes: three analytes on one time axis. */
export function CourseChart({ sheet, dates, numbers, width: first = 920 }: CourseChartProps) {
  const figure = useRef<HTMLElement>(null);
  const width = useWidth(figure, first);
  const [cursor, setCursor] = useState<number | null>(null);
  const ids = useId();
  const stretch = stretchOf(sheet);
  const days = Math.round((stretch.end - stretch.opened) / DAY_MS);
  const frame = frameOf(sheet, width);
  const x = linear([stretch.opened, stretch.end], [frame.left, width - frame.right]);
  const window = readyWindow(sheet);
  const todayDay = Math.min(Math.round((stretch.today - stretch.opened) / DAY_MS), days);
  const day = cursor ?? todayDay;
  const at = day === todayDay ? stretch.today : stretch.opened + day * DAY_MS;
  const said = dayWords(sheet, at, stretch.opened, dates, numbers);
  const fromPointer = (event: PointerEvent) => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const share = (event.clientX - box.left) / box.width;
    setCursor(Math.max(0, Math.min(days, Math.round(share * days))));
  };
  return (
    <figure class="chart" ref={figure}>
      <svg
        viewBox={`0 0 ${width} ${frame.height}`}
        width={width}
        height={frame.height}
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
              <rect
                x={frame.left}
                y={y.range[1]}
                width={width - frame.left - frame.right}
                height={y.range[0] - y.range[1]}
              />
            </clipPath>
          ))}
        </defs>
        {window && (
          <ReadyHatch
            window={window}
            stretch={stretch}
            x={x}
            top={LABELS - 8}
            bottom={frame.bottom}
            hatch={`${ids}h`}
          />
        )}
        <line class="today" x1={x(stretch.today)} x2={x(stretch.today)} y1={LABELS - 8} y2={frame.bottom} />
        {frame.panels.map(({ series, y }) => (
          <Panel
            key={series.analyte}
            series={series}
            readings={sheet.readings.filter((reading) => reading.analyte === series.analyte)}
            x={x}
            y={y}
            today={stretch.today}
            clip={`${ids}${series.analyte}`}
            printLevel={numbers.plain}
          />
        ))}
        <Flag x={x(stretch.today)} y={LABELS - 12} text={words.chart.today} scale={x} class="bold" />
        {window && (
          <Flag
            x={x(middleOf(window, stretch))}
            y={12}
            text={readyLabel(window, dates)}
            scale={x}
            class="ready-label"
          />
        )}
        <Deeds deeds={sheet.deeds} x={x} y={frame.bottom + 14} />
        <Neatline x={x} y={frame.bottom + 42} stretch={stretch} dates={dates} />
        {cursor !== null && (
          <g>
            <line class="cursor-line" x1={x(at)} x2={x(at)} y1={LABELS - 8} y2={frame.bottom} />
            {frame.panels.map(({ series, y }) => (
              <circle
                key={series.analyte}
                class="cursor-dot"
                cx={x(at)}
                cy={y(Math.min(levelAt(series.points, at, 'p50'), y.domain[1]))}
                r={4}
              />
            ))}
          </g>
        )}
      </svg>
      <div
        class="scrubber"
        role="slider"
        tabIndex={0}
        aria-label={words.chart.cursor}
        aria-valuemin={0}
        aria-valuemax={days}
        aria-valuenow={day}
        aria-valuetext={spoken(said)}
        style={{
          left: `${(100 * frame.left) / width}%`,
          right: `${(100 * frame.right) / width}%`,
          top: `${LABELS - 8}px`,
          height: `${frame.bottom - LABELS + 8}px`,
        }}
        onPointerMove={fromPointer}
        onPointerDown={fromPointer}
        onPointerLeave={(event) => event.pointerType === 'mouse' && setCursor(null)}
        onKeyDown={(event) => {
          const next = stepped(event.key, day, days);
          if (next === null) return;
          event.preventDefault();
          setCursor(next);
        }}
        onFocus={() => cursor === null && setCursor(todayDay)}
        onBlur={() => setCursor(null)}
      />
      <div class="read-out">
        <strong>{said.heading}</strong>
        <div>{said.levels.map((l) => l.shown).join(' · ')}</div>
        {said.written.length > 0 && <div class="written">{said.written.join(' · ')}</div>}
      </div>
      <figcaption>{words.chart.caption}</figcaption>
    </figure>
  );
}

const middleOf = (window: ReadyWindow, { opened, end }: Stretch) =>
  (Math.max(window.start, opened) + Math.min(window.end ?? end, end)) / 2;

/** A short label standing at a vertical line, turned to the left where it would run off the page. */
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

function frameOf(sheet: Sheet, width: number) {
  const left = width < 520 ? 30 : 44;
  const right = width < 520 ? 4 : 10;
  let y = LABELS;
  const panels = sheet.course.series.map((series) => {
    const bottom = y + HEAD + PANEL[series.analyte];
    const top = topOf(
      series.points,
      sheet.readings.filter((r) => r.analyte === series.analyte),
    );
    const panel = { series, y: linear([0, top], [bottom, y + HEAD]) };
    y = bottom + 10;
    return panel;
  });
  const bottom = y - 10;
  return { left, right, panels, bottom, height: bottom + 84 };
}

const STEPS: Readonly<Record<string, number>> = {
  ArrowLeft: -1,
  ArrowDown: -1,
  ArrowRight: 1,
  ArrowUp: 1,
  PageDown: -7,
  PageUp: 7,
  Home: Number.NEGATIVE_INFINITY,
  End: Number.POSITIVE_INFINITY,
};

function stepped(key: string, day: number, days: number): number | null {
  const step = STEPS[key];
  return step === undefined ? null : Math.max(0, Math.min(days, day + step));
}

/** The width there is, so that letters keep their size on a phone. */
function useWidth(element: { readonly current: HTMLElement | null }, first: number): number {
  const [width, setWidth] = useState(first);
  useEffect(() => {
    if (element.current === null) return undefined;
    const watch = new ResizeObserver(([box]) => {
      if (box && box.contentRect.width > 0) setWidth(Math.round(box.contentRect.width));
    });
    watch.observe(element.current);
    return () => watch.disconnect();
  }, [element]);
  return width;
}
