import type { Sheet } from '@brinewright/counsel';
import type { Dates } from '../format/dates.ts';
import { DAY_MS } from '../format/dates.ts';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';
import { dayWords } from './read-out.ts';
import { stretchOf } from './time.ts';

/** The course in figures: the same as the chart, row by row. */
export function CourseTable({ sheet, dates, numbers }: { sheet: Sheet; dates: Dates; numbers: Numbers }) {
  const { opened, end, today } = stretchOf(sheet);
  const days = Math.round((end - opened) / DAY_MS);
  const now = Math.round((today - opened) / DAY_MS);
  const step = days > 120 ? 7 : 1;
  const rows = Array.from({ length: Math.floor(days / step) + 1 }, (_, i) => i * step);
  return (
    <table class="figures">
      <caption class="soft">{words.chart.tableCaption}</caption>
      <thead>
        <tr>
          <th scope="col">{words.chart.dayColumn}</th>
          {sheet.course.series.map(({ analyte }) => (
            <th key={analyte} scope="col">
              {words.analyte[analyte]}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((day) => {
          const said = dayWords(sheet, opened + day * DAY_MS, opened, dates, numbers);
          return (
            <tr key={day}>
              <th scope="row">
                {said.heading}
                {day === now && ` (${words.chart.today})`}
                {said.written.length > 0 && <span class="written">{said.written.join(' · ')}</span>}
              </th>
              {said.levels.map((l) => (
                <td key={l.analyte}>{l.range}</td>
              ))}
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
