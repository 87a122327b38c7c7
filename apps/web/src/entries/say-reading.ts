import type { ReadingBody } from '@brinewright/journal';
import type { Numbers } from '../format/numbers.ts';
import type { Measure } from '../format/units.ts';
import { words } from '../words/index.ts';

/** "Nitrite between 1 and 2 mg/L as NO₂, diluted 1 in 5". */
export function sayReading(body: ReadingBody, numbers: Numbers, temperature: Measure): string {
  const read = sayRead(body, (v) => printIn(body.analyte, v, numbers, temperature));
  const unit = unitOf(body.analyte);
  const parts = [
    unit === '' ? read : `${read} ${unit}`,
    body.as === undefined ? undefined : words.asIon(words.ion[body.as]),
  ];
  const said = words.entry.reading(
    words.analyte[body.analyte],
    parts.filter((p) => p !== undefined).join(' '),
  );
  const diluted = body.dilution !== undefined && body.dilution !== 1;
  return diluted ? `${said}, ${words.entry.diluted(numbers.plain(body.dilution ?? 1))}` : said;
}

/** Only what the card or the meter showed: "between 1 and 2", "over 5". */
export function sayRead(
  body: Pick<ReadingBody, 'value' | 'between' | 'over' | 'under'>,
  print: (v: number) => string,
): string {
  if (body.between !== undefined) return words.entry.between(print(body.between[0]), print(body.between[1]));
  if (body.over !== undefined) return words.entry.over(print(body.over));
  if (body.under !== undefined) return words.entry.under(print(body.under));
  return print(body.value ?? Number.NaN);
}

function printIn(
  analyte: ReadingBody['analyte'],
  value: number,
  numbers: Numbers,
  temperature: Measure,
): string {
  return analyte === 'temperature' ? temperature.say(value) : numbers.plain(value);
}

/** Unit of a reading as the journal keeps it; a temperature brings its own. */
export function unitOf(analyte: ReadingBody['analyte']): string {
  switch (analyte) {
    case 'pH':
    case 'salinity':
    case 'temperature':
      return '';
    case 'alkalinity':
      return words.unitsOf.alkalinity;
    default:
      return words.unitsOf.milligrams;
  }
}

export const sayNitrogenFree = (nitrateMgL: number, numbers: Numbers) =>
  `${words.analyte.nitrate.toLowerCase()} ${numbers.plain(nitrateMgL)} mg/L ${words.asIon(words.ion.NO3)}`;
