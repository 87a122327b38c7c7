import type { Nutrient, Series, Sheet } from '@brinewright/counsel';
import type { Dates } from '../format/dates.ts';
import { DAY_MS } from '../format/dates.ts';
import { withSubscripts } from '../format/ions.ts';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';
import { levelAt } from './panel.tsx';

/** One analyte on one day: for a cell, for the line under the chart, for the ear. */
interface DayLevel {
  readonly analyte: Nutrient;
  readonly range: string;
  readonly shown: string;
  readonly spoken: string;
}

/** What the course says of one instant, ready to be printed or spoken. */
export interface DayWords {
  readonly heading: string;
  readonly levels: readonly DayLevel[];
  /** Readings and deeds of the same day, as their author wrote them. */
  readonly written: readonly string[];
}

export function dayWords(sheet: Sheet, at: number, opened: number, dates: Dates, numbers: Numbers): DayWords {
  const day = Math.round((at - opened) / DAY_MS);
  const near = (text: string) => dates.day(Date.parse(text)) === dates.day(at);
  return {
    heading: words.chart.dayHeading(day, dates.weekday(at)),
    levels: sheet.course.series.map((series) => dayLevel(series, at, numbers)),
    written: [
      ...sheet.readings
        .filter((r) => near(r.at))
        .map((r) => words.chart.read(words.analyte[r.analyte], withSubscripts(r.text))),
      ...sheet.deeds.filter((d) => near(d.at)).map((d) => withSubscripts(d.text)),
    ],
  };
}

/** Below this, mg/L as N, no digit is worth printing. */
const FAINT = 0.005;

function dayLevel({ analyte, points }: Series, at: number, numbers: Numbers): DayLevel {
  const name = words.analyte[analyte];
  const high = levelAt(points, at, 'p95');
  if (high < FAINT) {
    const none = words.chart.faint;
    return { analyte, range: none, shown: `${name} ${none}`, spoken: `${name} ${none}` };
  }
  const [low, middle, top] = [levelAt(points, at, 'p05'), levelAt(points, at, 'p50'), high].map(
    numbers.level,
  );
  return {
    analyte,
    range: words.chart.range(low!, top!),
    shown: words.chart.shownLevel(name, middle!, low!, top!),
    spoken: words.chart.spokenLevel(name, low!, top!),
  };
}

/** The same in one breath, for a screen reader. */
export function spoken(day: DayWords): string {
  const levels = day.levels.map((l) => l.spoken);
  return [day.heading, ...levels, ...day.written].join('. ');
}
