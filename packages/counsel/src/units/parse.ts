import {
  celsiusFromFahrenheit,
  FormulaFault,
  type Measured,
  milligramsPerGram,
  nitrogenForms,
  type PhosphorusForm,
  propagate,
  type ReferencePair,
  type ReferencePairName,
  referencePairs,
  salinityFromConductivity,
  salinityFromSpecificGravity,
  toNitrogen,
  toPhosphorus,
} from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { canonicalUnit, factors, type QuantityKind } from './kinds.ts';

/** A number with its error as written, and the rest of the text, which is its unit. */
type Written = Measured & { unit: string };

const NUMBER = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`;
const WRITTEN = new RegExp(String.raw`^(${NUMBER})\s*(?:(?:±|\+/-|\+-)\s*(${NUMBER}))?\s*(.*)$`);

/** Splits "200 ± 10 L" into 200, 10 and "L". */
function read(field: string, text: string): Written {
  const parts = WRITTEN.exec(text.trim());
  const example = 'Write a number, if you like with its error and unit: 200, 200 ± 10 L, 55 US gal.';
  if (!parts || /^,\d/.test(parts[3]!)) throw new InputFault(field, `"${text}" is not a number`, example);
  const sd = parts[2] === undefined ? 0 : Number(parts[2]);
  if (sd < 0) throw new InputFault(field, `the error ${sd} is below zero`, example);
  return { value: Number(parts[1]), sd, unit: parts[3]!.trim() };
}

const list = (names: readonly string[]): string => names.join(', ');

const unitFault = (field: string, unit: string, known: readonly string[]): InputFault =>
  new InputFault(field, `the unit "${unit}" is not known here`, `Use ${list(known)}.`);

/** A quantity whose units differ by factors. */
function scaled(field: string, kind: QuantityKind, { value, sd, unit }: Written): Measured {
  const known = factors[kind] ?? {};
  const factor = unit === '' || unit === canonicalUnit[kind] ? 1 : known[unit.toLowerCase()];
  if (factor === undefined) {
    if (/^gal(lons?)?$/i.test(unit))
      throw new InputFault(field, `"${unit}" may be US or UK gallons`, 'Write US gal or UK gal.');
    throw unitFault(field, unit, Object.keys(known));
  }
  return { value: value * factor, sd: sd * factor };
}

function temperature(field: string, { value, sd, unit }: Written): Measured {
  if (/^(°?\s*C)?$/i.test(unit)) return { value, sd };
  if (/^°?\s*F$/i.test(unit)) return { value: celsiusFromFahrenheit(value), sd: (sd * 5) / 9 };
  throw unitFault(field, unit, ['°C', '°F']);
}

/** `25/25`, `60/60F`, `25C/4C` or `77/60 F`: the temperatures of sample and water. */
export function readReferencePair(field: string, text: string): ReferencePair {
  const compact = text.replace(/[°\s]/g, '');
  const named = Object.keys(referencePairs).find((name) => name.toLowerCase() === compact.toLowerCase());
  if (named) return referencePairs[named as ReferencePairName];
  const parts = /^(-?[\d.]+)([CF]?)\/(-?[\d.]+)([CF]?)$/i.exec(compact);
  if (!parts)
    throw new InputFault(
      field,
      `"${text}" is no pair of reference temperatures`,
      `Write sample/water as on the instrument: ${list(Object.keys(referencePairs))}, or 77F/60F.`,
    );
  const inCelsius = (number: string, letter: string): number =>
    (letter || parts[4] || 'C').toUpperCase() === 'F'
      ? celsiusFromFahrenheit(Number(number))
      : Number(number);
  return { sampleC: inCelsius(parts[1]!, parts[2]!), waterC: inCelsius(parts[3]!, parts[4]!) };
}

/** Salinity as such, as a specific gravity at a stated pair, or as a conductivity at a stated temperature. */
function salinity(field: string, written: Written): Measured {
  const { value, sd, unit } = written;
  if (/^(ppt|psu|‰)?$/i.test(unit)) {
    if (value > 1 && value < 1.06 && unit === '')
      throw new InputFault(
        field,
        `${value} looks like a specific gravity`,
        'Add the reference temperatures of the scale: 1.0264 at 25/25; or write 1.0264 ppt.',
      );
    return { value, sd };
  }
  const gravity = /^(?:SG)?\s*at\s+(.+\/.+)$/i.exec(unit);
  if (gravity) {
    const pair = readReferencePair(field, gravity[1]!);
    return found(
      field,
      propagate(({ sg }) => salinityFromSpecificGravity(sg, pair), { sg: { value, sd } }),
    );
  }
  const conductivity = /^(mS\/cm|[uµ]S\/cm|S\/m)\s*at\s+(.+)$/i.exec(unit);
  if (conductivity) {
    const c = scaled(field, 'conductivity', { value, sd, unit: conductivity[1]! });
    const t = temperature(field, read(field, conductivity[2]!));
    return found(
      field,
      propagate(({ c: mSCm, t: at }) => salinityFromConductivity(mSCm, at), { c, t }),
    );
  }
  if (/SG|S\/(cm|m)/i.test(unit))
    throw new InputFault(
      field,
      `"${unit}" needs the temperature it refers to`,
      'Write 1.0264 at 25/25, or 53 mS/cm at 25 C.',
    );
  throw unitFault(field, unit, ['no unit', 'ppt', 'SG at 25/25', 'mS/cm at 25 C']);
}

function found(field: string, { value, sd }: Measured): Measured {
  if (Number.isFinite(value)) return { value, sd };
  throw new InputFault(
    field,
    'no salinity from 0 to 60 fits this reading',
    'Check the number and its scale.',
  );
}

/** mg/L of a nitrogen form; a bare number is refused, since kits count N, NH3, NH4, NO2 or NO3. */
function nitrogen(field: string, { value, sd, unit }: Written): Measured {
  const form = formIn(field, unit, nitrogenForms, 'mg/L as N, or 2 mg/L NH4');
  return { value: toNitrogen(value, form), sd: toNitrogen(sd, form) };
}

function phosphorus(field: string, { value, sd, unit }: Written): Measured {
  const form = formIn<PhosphorusForm>(field, unit, ['P', 'PO4'], '0.05 mg/L PO4');
  return { value: toPhosphorus(value, form), sd: toPhosphorus(sd, form) };
}

/** The form named after "mg/L", "ppm" or nothing, with or without "as". */
function formIn<F extends string>(field: string, unit: string, forms: readonly F[], example: string): F {
  const name = /^(?:mg\/L|ppm)?\s*(?:as\s+)?([A-Za-z0-9]+)$/i.exec(unit)?.[1];
  const form = forms.find((each) => each.toLowerCase() === name?.toLowerCase());
  if (form !== undefined) return form;
  throw new InputFault(
    field,
    unit === '' || /^(mg\/L|ppm)$/i.test(unit)
      ? 'the number does not say what it counts'
      : `"${unit}" is not known here`,
    `Say which of ${list(forms)} the kit counts: ${example}.`,
  );
}

/** A mass of nitrogen, given as such or as grams of a nitrogen form. */
function nitrogenMass(field: string, { value, sd, unit }: Written): Measured {
  const parts = /^(mg|g)\s*(?:as\s+|of\s+)?([A-Za-z0-9()]+)$/.exec(unit);
  if (unit !== '' && !parts) throw unitFault(field, unit, ['mg N', 'g NH4Cl']);
  const factor = parts ? (parts[1] === 'g' ? 1000 : 1) * (nitrogenPerGram(field, parts[2]!) / 1000) : 1;
  return { value: value * factor, sd: sd * factor };
}

/** Strength of a solution, mg N per mL, from g/L, mg/mL, or % (g per 100 mL) of a named substance. */
function strength(field: string, { value, sd, unit }: Written): Measured {
  const parts = /^(mg\/mL|g\/L|mg\/L|%)\s*(?:as\s+|of\s+)?([A-Za-z0-9()·.*]+)$/i.exec(unit);
  if (!parts)
    throw new InputFault(
      field,
      `"${value} ${unit}" is not a strength`,
      'Say how much of what: 40 mg/mL N, 30 g/L NH4Cl, 10 % NH3 (grams in 100 mL).',
    );
  const perMl = { 'mg/ml': 1, 'g/l': 1, 'mg/l': 1e-3, '%': 10 }[parts[1]!.toLowerCase()]!;
  const factor = (perMl * nitrogenPerGram(field, parts[2]!)) / 1000;
  return { value: value * factor, sd: sd * factor };
}

/** mg of nitrogen in a gram of a substance named by its formula. */
function nitrogenPerGram(field: string, formula: string): number {
  try {
    const yieldPerGram = milligramsPerGram(formula, 'N');
    if (yieldPerGram > 0) return yieldPerGram;
  } catch (error) {
    if (!(error instanceof FormulaFault)) throw error;
    throw new InputFault(field, error.message, 'Write a formula such as NH4Cl or NH3.');
  }
  throw new InputFault(field, `${formula} holds no nitrogen`, 'Name the substance that brings it.');
}

const readers: Readonly<Partial<Record<QuantityKind, (field: string, written: Written) => Measured>>> = {
  temperature,
  salinity,
  nitrogen,
  nitrogenMass,
  phosphorus,
  strength,
};

/**
 * A keeper's text turned to the canonical unit of its kind, with the error where one was written. A bare number is
 * in `bareUnit`, or the canonical unit, save where that would be a guess (gallons, specific gravity, nitrogen ions).
 * Throws `InputFault` that names `field`.
 */
export function parseQuantity(field: string, kind: QuantityKind, text: string, bareUnit = ''): Measured {
  const asWritten = read(field, text);
  const written = asWritten.unit === '' ? { ...asWritten, unit: bareUnit } : asWritten;
  const reader = readers[kind];
  return reader ? reader(field, written) : scaled(field, kind, written);
}
