import type { Ready, Sheet } from '@brinewright/counsel';
import { useMemo, useRef, useState } from 'preact/hooks';
import type { Dates } from '../format/dates.ts';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';
import type { Beside } from './beside.tsx';
import { CoursePlot, cursorInstant } from './course-plot.tsx';
import { frameOf } from './frame.ts';
import { dayWords, spoken } from './read-out.ts';
import { Scrubber } from './scrubber.tsx';
import { dayOf, stretchOf } from './time.ts';
import { useWidth } from './use-width.ts';

interface CourseChartProps {
  readonly sheet: Sheet;
  readonly dates: Dates;
  readonly numbers: Numbers;
  /** Width to draw at before the page has been measured; a printed page keeps it. */
  readonly width?: number;
  readonly beside?: Beside | undefined;
  /** What the line between known and forecast is called; today's, where not said. */
  readonly dividing?: string;
  /** An instant the chart must reach, epoch milliseconds. */
  readonly reach?: number;
}

const latest = (ready: Ready | undefined) => {
  const end = ready?.p95 ?? ready?.p50 ?? null;
  return end === null ? undefined : Date.parse(end);
};

/** Where the water has been and goes: three analytes on one time axis, and what they were on the day under the cursor. */
export function CourseChart({
  sheet,
  dates,
  numbers,
  width: first = 920,
  beside,
  dividing,
  reach = latest(beside?.ready),
}: CourseChartProps) {
  const figure = useRef<HTMLElement>(null);
  const width = useWidth(figure, first);
  const [whole, setWhole] = useState(false);
  const [cursor, setCursor] = useState<number | null>(null);
  const stretch = useMemo(() => stretchOf(sheet, whole, reach), [sheet, whole, reach]);
  const frame = useMemo(
    () => frameOf(sheet, stretch, width, beside?.series),
    [sheet, stretch, width, beside?.series],
  );
  const todayDay = Math.min(Math.round(dayOf(stretch, stretch.today)), stretch.lastDay);
  const day = cursor ?? todayDay;
  const at = cursorInstant(stretch, day, todayDay);
  const said = dayWords(sheet, at, stretch.opened, dates, numbers);
  return (
    <figure class="chart" ref={figure}>
      <CoursePlot
        sheet={sheet}
        stretch={stretch}
        frame={frame}
        cursor={cursor === null ? null : at}
        dates={dates}
        numbers={numbers}
        beside={beside}
        dividing={dividing}
      />
      <Scrubber frame={frame} stretch={stretch} day={day} onDay={setCursor} said={spoken(said)} />
      <div class="read-out">
        <strong>{said.heading}</strong>
        <div>{said.levels.map((level) => level.shown).join(' · ')}</div>
        {said.written.length > 0 && <div class="written">{said.written.join(' · ')}</div>}
      </div>
      {(stretch.shortened || whole) && (
        <button class="word" type="button" aria-pressed={whole} onClick={() => setWhole(!whole)}>
          {whole ? words.chart.recent : words.chart.whole}
        </button>
      )}
      <figcaption>{words.chart.caption}</figcaption>
    </figure>
  );
}
