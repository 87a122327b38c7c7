import { convertPH, type PHScale } from '../ph-scales.ts';
import { t68FromT90, t90FromT68 } from '../temperature.ts';

/** A row of a check table as it was read: column name to text. */
export type TableRow = Readonly<Record<string, string | undefined>>;

/** Why a row cannot be evaluated. */
export class RowFault extends Error {
  constructor(reason: string) {
    super(reason);
    this.name = 'RowFault';
  }
}

/** The text of a column, or undefined where it is empty or absent. */
export function textIn(row: TableRow, column: string): string | undefined {
  const text = row[column]?.trim();
  return text === undefined || text === '' ? undefined : text;
}

/** The number in a column, or undefined where it is empty. Throws `RowFault` for text that is no number. */
export function optionalNumber(row: TableRow, column: string): number | undefined {
  const text = textIn(row, column);
  if (text === undefined) return undefined;
  const value = Number(text);
  if (!Number.isFinite(value)) throw new RowFault(`${column} is "${text}", which is not a number`);
  return value;
}

/** The number in a column; throws `RowFault` where it is missing. */
export function numberIn(row: TableRow, column: string): number {
  const value = optionalNumber(row, column);
  if (value === undefined) throw new RowFault(`${column} is missing`);
  return value;
}

/** Salinity of the row, refusing what no water has. */
export function salinityIn(row: TableRow, column = 'S'): number {
  const salinity = numberIn(row, column);
  if (salinity < 0) throw new RowFault(`${column} is ${salinity}, below zero`);
  return salinity;
}

/** Whether the row's temperatures are on IPTS-68 (`t_scale` T68) or ITS-90 (T90, the default). */
function isT68(row: TableRow): boolean {
  const scale = textIn(row, 't_scale')?.toUpperCase() ?? 'T90';
  if (scale !== 'T68' && scale !== 'T90') throw new RowFault(`t_scale is "${scale}"; T68 or T90 is expected`);
  return scale === 'T68';
}

/** Temperature of the row on IPTS-68, °C. */
export const t68In = (row: TableRow, column = 't'): number => {
  const t = numberIn(row, column);
  return isT68(row) ? t : t68FromT90(t);
};

/** Temperature of the row on ITS-90, °C. */
export const t90In = (row: TableRow, column = 't'): number => {
  const t = numberIn(row, column);
  return isT68(row) ? t90FromT68(t) : t;
};

const scaleNames: Readonly<Record<string, PHScale>> = {
  total: 'total',
  t: 'total',
  sws: 'SWS',
  seawater: 'SWS',
  free: 'free',
  f: 'free',
  nbs: 'NBS',
};

/** The pH scale of a name in any case. Throws `RowFault` for one we do not know. */
export function scaleNamed(name: string): PHScale {
  const scale = scaleNames[name.toLowerCase()];
  if (scale === undefined) throw new RowFault(`pH scale "${name}" is not one of total, SWS, free, NBS`);
  return scale;
}

/** The pH of the row turned from one scale to another. */
export const movedPH = (row: TableRow, pH: number, from: PHScale, to: PHScale): number =>
  convertPH(pH, from, to, salinityIn(row), numberIn(row, 't'));
