import {
  type Figure,
  inSystem,
  sayFigure,
  type Table,
  type Tool,
  type UnitSystem,
  type Worked,
} from '@brinewright/counsel';
import { withSubscripts } from '../format/ions.ts';
import { preferences } from '../state/reader.ts';
import { mixingWords } from '../words/mixing.ts';
import { type Sheet, sayFault } from './sheet.ts';
import { minded } from './state.ts';
import { formulaShown, habits } from './units.ts';

/** A number in the units this reader writes in. */
function forReader<T extends Pick<Figure, 'value' | 'sd' | 'unit'>>(figure: T): T {
  const whole = { name: '', title: '', ...figure };
  const { unit, value, sd } = inSystem(whole, systemFor(figure.unit));
  return { ...figure, unit, value, sd };
}

function systemFor(unit: string): UnitSystem {
  if (unit === '°C')
    return (habits.value.temperature ?? preferences.value.temperature) === '°F' ? 'us' : 'metric';
  if (unit === 'cm') return habits.value.length === 'in' ? 'us' : 'metric';
  const volume = habits.value.volume ?? (preferences.value.volume === 'gal' ? 'US gal' : 'L');
  return volume === 'US gal' ? 'us' : volume === 'UK gal' ? 'uk' : 'metric';
}

const MINUS_NOTHING = /^-(?=0(\.0*)?(\s|$))/;
const IDLE_ZEROS = /^(-?\d+(?:\.\d*[1-9])?)\.?0*(?=\s|$)/;

/** "204.3 ± 6.1 L", in the reader's units and with a space that does not break; an exact number without idle zeros. */
export function sayNumber(figure: Pick<Figure, 'value' | 'sd' | 'unit' | 'digits'>): string {
  const printed = sayFigure(forReader(figure)).replace(MINUS_NOTHING, '');
  const said = figure.sd === 0 ? printed.replace(IDLE_ZEROS, '$1') : printed;
  return formulaShown(withSubscripts(said)).replaceAll(' ', '\u00a0');
}

/** A title or a remark with its formulas as chemists print them. */
export const sayText = (text: string): string =>
  text.replace(/\b[A-Z][A-Za-z]*[\dA-Za-z·()]*\d[\dA-Za-z·()]*/g, (word) =>
    /^(CAU|[A-Z]{2,}\d{2})/.test(word) ? word : formulaShown(word),
  );

/** The rows of a table in the reader's units, and the heads that name them. */
export function sayTable({ columns, rows }: Table): { heads: string[]; cells: string[][] } {
  const said = (value: number, at: number) => {
    const { unit = '', digits } = columns[at] ?? {};
    return { ...forReader({ value, sd: 0, unit }), ...(digits === undefined ? {} : { digits }) };
  };
  const heads = columns.map(({ title }, at) => {
    const { unit } = said(0, at);
    return unit === '' ? sayText(title) : `${sayText(title)}, ${sayText(unit)}`;
  });
  const printed = rows.map((row) => row.map((value, at) => sayFigure({ ...said(value, at), unit: '' })));
  const idle = heads.map((_, at) => Math.min(...printed.map((row) => idleZeros(row[at] ?? ''))));
  const cells = printed.map((row) => row.map((cell, at) => withoutLast(cell, idle[at] ?? 0)));
  return { heads, cells };
}

/** Zeros at the end of a decimal fraction, and its point where nothing else follows it. */
const idleZeros = (cell: string): number => /\.?0*$/.exec(/\./.test(cell) ? cell : '')?.[0].length ?? 0;

const withoutLast = (cell: string, count: number): string => cell.slice(0, cell.length - count);

/** Cautions that have to be read before an amount is shown. */
export const unminded = ({ cautions }: Worked) =>
  cautions.filter(({ id, severity }) => severity === 'critical' && !minded.value.has(id));

/** The figure that was asked for, where it is not the first. */
const leads: Readonly<Record<string, string>> = { 'water-changes': 'each' };

export const leadOf = (tool: Tool, { results }: Worked): Figure | undefined =>
  results.find(({ name }) => name === leads[tool.id]) ?? results[0];

/** The answer in a line, or what stands between the sheet and an answer. */
export function sayGist(sheet: Sheet): string {
  const of = mixingWords.answer;
  const { fields, answer, fault } = sheet;
  const titles = (which: (field: Sheet['fields'][number]) => boolean) =>
    fields.filter(which).map(({ name }) => name);
  const faulty = titles((field) => field.fault !== undefined);
  if (faulty.length > 0) return of.mend(faulty);
  if (fault !== undefined) return sayFault(fault);
  const missing = titles((field) => field.missing);
  if (missing.length > 0 || answer === undefined) return of.missing(missing);
  if (unminded(answer).length > 0) return of.mindFirst;
  const first = leadOf(sheet.tool, answer);
  return first === undefined ? '' : of.gist(sayText(first.title), sayNumber(first));
}
