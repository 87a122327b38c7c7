import {
  type Figure,
  inSystem,
  sayFigure,
  type Table,
  type UnitSystem,
  type Worked,
} from '@brinewright/counsel';
import type { Face } from '../paper/face.ts';
import { columnsOf, padEnd, padStart, wrap } from '../paper/text.ts';

/** How an answer is wanted: units, and whether its working and journal entries are shown. */
export interface PageOptions {
  readonly units: UnitSystem;
  readonly working?: boolean;
  readonly entries?: boolean;
}

/** An answer about water or reagents, laid out for a terminal or for paper. */
export function workedPage(title: string, answer: Worked, face: Face, options: PageOptions): string {
  const lines = [face.ink('strong', title), ''];
  lines.push(...figureLines(answer.results, face, options.units));
  for (const table of answer.tables) lines.push('', ...tableLines(table, face));
  for (const warning of answer.warnings) lines.push('', ...hanging('Note: ', warning, face.width));
  for (const { wording, deferTo } of answer.cautions) {
    const whom = deferTo === '-' ? '' : ` Ask: ${deferTo}.`;
    lines.push('', ...hanging('Caution: ', `${wording}${whom}`, face.width));
  }
  if (options.working) lines.push('', face.ink('strong', 'Working'), ...workingLines(answer, face));
  if (options.entries && answer.entries.length > 0) {
    lines.push('', face.ink('strong', 'To record it as done'));
    lines.push(...answer.entries.map((entry) => `  ${JSON.stringify(entry)}`));
  }
  return face.spell(`${lines.join('\n')}\n`);
}

/** Results, their titles in one column and their numbers in the next. */
function figureLines(results: readonly Figure[], face: Face, units: UnitSystem): string[] {
  const width = Math.min(
    Math.max(...results.map(({ title }) => columnsOf(title))),
    Math.max(20, face.width - 26),
  );
  return results.flatMap((result) => {
    const titles = wrap(result.title, width);
    const last = titles.length - 1;
    return titles.map((line, i) =>
      i < last ? `  ${line}` : `  ${padEnd(line, width)}  ${sayFigure(inSystem(result, units))}`,
    );
  });
}

function tableLines({ title, columns, rows }: Table, face: Face): string[] {
  const heads = columns.map((column) =>
    column.unit === '' ? column.title : `${column.title}, ${column.unit}`,
  );
  const cells = rows.map((row) =>
    row.map((value, i) => sayFigure({ value, sd: 0, unit: '', ...digitsOf(columns[i]) })),
  );
  const widths = heads.map((head, i) =>
    Math.max(columnsOf(head), ...cells.map((row) => columnsOf(row[i] ?? ''))),
  );
  const total = widths.reduce((sum, width) => sum + width + 2, 0);
  // Too wide for the page: one line per cell, which also reads well aloud.
  if (total > face.width)
    return [title, ...cells.flatMap((row) => row.map((cell, i) => `  ${heads[i]}: ${cell}`))];
  const line = (row: readonly string[]): string =>
    `  ${row.map((cell, i) => padStart(cell, widths[i] ?? 0)).join('  ')}`;
  return [title, line(heads), ...cells.map(line)];
}

const digitsOf = (column: Table['columns'][number] | undefined): { digits?: number } =>
  column?.digits === undefined ? {} : { digits: column.digits };

const workingLines = (answer: Worked, face: Face): string[] =>
  answer.working.flatMap((each) =>
    hanging('  ', `${each.quantity}: ${sayFigure(each)} (${each.relation}; ${each.source})`, face.width),
  );

/** Text behind a lead, further lines set in under it. */
function hanging(lead: string, text: string, width: number): string[] {
  const indent = ' '.repeat(columnsOf(lead));
  return wrap(text, width - indent.length).map((line, i) => `${i === 0 ? lead : indent}${line}`);
}
