import type { Sheet } from '@brinewright/counsel';
import { Fragment } from 'preact';
import type { Dates } from '../format/dates.ts';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';
import { dayWords } from './read-out.ts';
import { dayOf, instantOf, stretchOf } from './time.ts';

/** The course in figures: the same as the chart, row by row. */
export function CourseTable({ sheet, dates, numbers }: { sheet: Sheet; dates: Dates; numbers: Numbers }) {
  const stretch = stretchOf(sheet, true);
  const { opened, today, lastDay } = stretch;
  const now = Math.round(dayOf(stretch, today));
  const step = lastDay > 120 ? 7 : 1;
  const days = Array.from({ length: Math.floor(lastDay / step) + 1 }, (_, i) => i * step);
  return (
    <table class="figures course">
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
        {days.map((day) => {
          const said = dayWords(sheet, instantOf(stretch, day), opened, dates, numbers);
          return (
            <Fragment key={day}>
              <tr>
                <th scope="row" rowSpan={said.written.length > 0 ? 2 : 1}>
                  {said.heading}
                  {day === now && ` (${words.chart.today})`}
                </th>
                {said.levels.map((l) => (
                  <td key={l.analyte}>{l.range}</td>
                ))}
              </tr>
              {said.written.length > 0 && (
                <tr>
                  <td colSpan={said.levels.length} class="written">
                    {said.written.join(' · ')}
                  </td>
                </tr>
              )}
            </Fragment>
          );
        })}
      </tbody>
    </table>
  );
}
