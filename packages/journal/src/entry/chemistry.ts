import * as z from 'zod/mini';
import type { Analyte, NitrogenBasis } from './terms.ts';

/** The ions a number of each nitrogen analyte may count. */
export const BASES_OF: Readonly<Partial<Record<Analyte, readonly NitrogenBasis[]>>> = {
  ammonia: ['N', 'NH3', 'NH4'],
  nitrite: ['N', 'NO2'],
  nitrate: ['N', 'NO3'],
};

/** What a number of each analyte can be at all; nitrogen and the salts are concentrations, never below zero. */
const LIMITS: Readonly<
  Partial<Record<Analyte, { low: number; high: number; unit: string; remedy: string }>>
> = {
  temperature: {
    low: -2,
    high: 45,
    unit: '°C',
    remedy: 'Files hold °C: 77 °F is 25 °C.',
  },
  pH: { low: 0, high: 14, unit: '', remedy: 'pH runs from 0 to 14.' },
  salinity: {
    low: 0,
    high: 120,
    unit: 'practical salinity',
    remedy: 'Files hold practical salinity: a specific gravity of 1.026 is about 35.',
  },
};

interface Counted {
  analyte: Analyte;
  as?: NitrogenBasis | undefined;
  value?: number | undefined;
  between?: [number, number] | undefined;
  over?: number | undefined;
  under?: number | undefined;
  steps?: number[] | undefined;
}

/** The ions again in words of JSON Schema; the ranges are checked by the program alone. */
const rule = {
  allOf: [
    ...Object.entries(BASES_OF).map(([analyte, bases]) => ({
      if: { properties: { analyte: { const: analyte } } },
      // biome-ignore lint/suspicious/noThenProperty: a word of JSON Schema
      then: { required: ['as'], properties: { as: { enum: bases } } },
    })),
    {
      if: { properties: { analyte: { not: { enum: Object.keys(BASES_OF) } } } },
      // biome-ignore lint/suspicious/noThenProperty: a word of JSON Schema
      then: { not: { required: ['as'] } },
    },
  ],
};

/** That a number can be of its analyte: the ion it counts, and the range it lies in. */
export const chemistry = {
  rule,
  check: z.check<Counted>((context) => {
    const issue = (path: (string | number)[], code: string, message: string, remedy: string): void => {
      context.issues.push({
        code: 'custom',
        input: context.value,
        path,
        message,
        params: { code, remedy },
        continue: true,
      });
    };
    const { analyte, as } = context.value;
    const bases = BASES_OF[analyte];
    if (bases !== undefined && as === undefined) {
      const remedy = `Look on the kit: say which of ${bases.join(', ')} its number counts.`;
      issue(['as'], 'missing', `${analyte} needs to say which ion the number counts`, remedy);
    } else if (bases !== undefined && as !== undefined && !bases.includes(as)) {
      const remedy = `Use one of ${bases.join(', ')}, or correct the analyte.`;
      issue(['as'], 'wrong-ion', `${analyte} cannot be counted as ${as}`, remedy);
    } else if (bases === undefined && as !== undefined) {
      issue(['as'], 'wrong-ion', `${analyte} is not counted as ${as}`, 'Leave `as` out; it is for nitrogen.');
    }
    for (const [path, number] of numbersOf(context.value)) {
      const limit = LIMITS[analyte] ?? {
        low: 0,
        high: Infinity,
        unit: '',
        remedy: 'A level cannot be negative.',
      };
      if (number >= limit.low && number <= limit.high) continue;
      const found = [number, limit.unit].join(' ').trim();
      issue(path, 'out-of-range', `${found} is not possible for ${analyte}`, limit.remedy);
    }
  }),
};

function* numbersOf(counted: Counted): Generator<[(string | number)[], number]> {
  for (const field of ['value', 'over', 'under'] as const) {
    const number = counted[field];
    if (number !== undefined) yield [[field], number];
  }
  for (const field of ['between', 'steps'] as const) {
    for (const [index, number] of (counted[field] ?? []).entries()) yield [[field, index], number];
  }
}
