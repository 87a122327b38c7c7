import { canonicalUnit, InputFault, parseQuantity } from '@brinewright/counsel';
import { type Asked, inUnit, type Unit, unitsOf } from './units.ts';

/** A number as it stands in its boxes: what was typed, give or take, and the unit beside it. */
export interface Written {
  readonly number: string;
  readonly error: string;
  /** Key of the unit. */
  readonly unit: string;
}

/** The text a tool reads. A unit typed after the number wins over the one beside it. */
export function textOf({ number, error }: Written, unit: Unit): string {
  const typed = withPoint(number);
  if (typed === '') return '';
  const sureness = error.trim() === '' ? '' : `± ${withPoint(error)}`;
  if (!namesUnit(typed)) return [typed, sureness, unit.says].filter(Boolean).join(' ');
  const [, figure = typed, own = ''] = OWN_UNIT.exec(typed) ?? [];
  return [figure, sureness, own].filter(Boolean).join(' ');
}

/** A number and the unit typed behind it. */
const OWN_UNIT = /^([+-]?[\d.]+(?:[eE][+-]?\d+)?(?:\s*(?:±|\+\/-)\s*[\d.]+)?)\s*(.*)$/;

/** Letters other than the exponent of a number, or a sign that only units have. */
export const namesUnit = (number: string): boolean => /[a-z%°‰µ]/i.test(number.replace(/\d[eE][+-]?\d/g, ''));

/** A comma for the decimal mark and spaces between thousands, as people type them. */
const withPoint = (number: string): string =>
  number
    .trim()
    .replace(/(\d)\s+(?=\d{3}(?!\d))/g, '$1')
    .replace(/(?<=^|\d|\s|±),(?=\d)/g, '.');

/** "1,200" may be twelve hundred or one and a fifth: nobody should have to find out from the dose. */
const AMBIGUOUS = /(?<![\d.,])[1-9]\d{0,2}(,\d{3})+(?![\d,])/;

/** @throws InputFault where a comma could be read in two ways */
export function refuseAmbiguous(id: string, { number, error }: Written): void {
  const found = AMBIGUOUS.exec(number)?.[0] ?? AMBIGUOUS.exec(error)?.[0];
  if (found === undefined) return;
  const [joined, decimal] = [found.replaceAll(',', ''), found.replace(',', '.')];
  throw new InputFault(id, `"${found}" can be read in two ways`, `Write ${joined} or ${decimal}.`);
}

const TEXT = /^([+-]?[\d.]+(?:[eE][+-]?\d+)?)\s*(?:(?:±|\+\/-)\s*([\d.]+))?\s*(.*)$/;

/** A text laid out in boxes, each number as it stands in the text; undefined where it does not fit in them. */
export function asItStands(asked: Asked, text: string): Written | undefined {
  const [, number = '', error = '', rest = ''] = TEXT.exec(text.trim()) ?? [];
  const { kind, bareUnit = canonicalUnit[kind] } = asked.field;
  const wanted = rest === '' ? bareUnit : rest;
  const unit = unitsOf(asked).find(
    ({ key, says }) => plain(key) === plain(wanted) || plain(says) === plain(wanted),
  );
  return number === '' || unit === undefined ? undefined : { number, error, unit: unit.key };
}

/** A unit without what people leave out, or write one way or another. */
const plain = (unit: string): string =>
  unit.toLowerCase().replace(/\bas\b|\bsg\b|\bat\b|\bmg\/l\b|\bppm\b|[\s°]/g, '');

/** A text laid out in a unit, converted where it stands in another. */
export function laidOut(asked: Asked, text: string, unit: Unit): Written {
  const standing = asItStands(asked, text);
  if (standing?.unit === unit.key || isPassing(asked, standing)) return standing!;
  const { kind, bareUnit } = asked.field;
  const { value, sd } = parseQuantity(asked.id, kind, text, bareUnit);
  const shown = inUnit(kind, value, unit);
  const error =
    sd === 0 ? '' : figures((inUnit(kind, value + sd, unit) - inUnit(kind, value - sd, unit)) / 2, 2);
  return { number: figures(shown, unit.says.startsWith('SG') ? 6 : 4), error, unit: unit.key };
}

const isPassing = (asked: Asked, standing: Written | undefined): boolean =>
  unitsOf(asked).find(({ key }) => key === standing?.unit)?.passing === true;

/** A text from a link: laid out as it stands, or else kept whole in the first box. */
export function fromLink(asked: Asked, text: string, usual: Unit): Written {
  const standing = asItStands(asked, text);
  if (standing !== undefined) return standing;
  try {
    if (!namesUnit(text)) return laidOut(asked, text, usual);
  } catch (error) {
    if (!(error instanceof InputFault)) throw error;
  }
  return { number: text, error: '', unit: usual.key };
}

/** Boxes as one reads them: "212 ± 11 L". */
export function sayWritten(asked: Asked, { number, error, unit }: Written): string {
  const label = unitsOf(asked).find(({ key }) => key === unit)?.label ?? '';
  return [error === '' ? number : `${number} ± ${error}`, label].filter(Boolean).join('\u00a0');
}

const figures = (value: number, digits: number): string => String(Number(value.toPrecision(digits)));
