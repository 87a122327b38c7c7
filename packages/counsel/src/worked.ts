import type { BodyOf, Kind } from '@brinewright/journal';
import {
  type Measured,
  type OutOfRange,
  type RelationId,
  relations,
  sayOutOfRange,
} from '@brinewright/seawater';
import { type Caution, type CautionId, cautionsFor } from './cautions/cautions.ts';

/**
 * One number of an answer. `sd` is its standard error in the same unit; 0 where nothing uncertain went in.
 * `digits`: significant digits worth showing where there is no error, if more than the usual four.
 */
export type Figure = {
  name: string;
  title: string;
  value: number;
  sd: number;
  unit: string;
  digits?: number;
};

/** One step of the way to the answer: what it gives, by which relation, on whose word. */
export type Step = {
  quantity: string;
  value: number;
  sd: number;
  unit: string;
  relation: string;
  source: string;
};

/** Numbers that come in rows, such as what each of several changes leaves. */
export type Table = {
  title: string;
  columns: { title: string; unit: string; digits?: number }[];
  rows: number[][];
};

/** A journal entry that would record the answer as done; whoever keeps the journal adds id, tank and time. */
export type Draft = { [K in Kind]: { kind: K; body: BodyOf<K> } }[Kind];

/** The one shape of every answer about water and reagents. */
export type Worked = {
  results: Figure[];
  tables: Table[];
  working: Step[];
  warnings: string[];
  cautions: Caution[];
  entries: Draft[];
};

const measured = (value: number | Measured): Measured =>
  typeof value === 'number' ? { value, sd: 0 } : { value: value.value, sd: value.sd };

/** A number of an answer, with or without an error. */
export const figure = (
  name: string,
  title: string,
  value: number | Measured,
  unit: string,
  digits?: number,
): Figure => ({
  name,
  title,
  ...measured(value),
  unit,
  ...(digits === undefined ? {} : { digits }),
});

/** A step of the working by a published relation. */
export const stepBy = (
  relation: RelationId,
  quantity: string,
  value: number | Measured,
  unit: string,
): Step => ({
  quantity,
  ...measured(value),
  unit,
  relation: relations[relation].title,
  source: relations[relation].source,
});

/** A step of the working by arithmetic, or by a rule of ours that `source` names. */
export const step = (
  quantity: string,
  value: number | Measured,
  unit: string,
  relation: string,
  source = 'arithmetic',
): Step => ({ quantity, ...measured(value), unit, relation, source });

/** What an answer is made of; everything but the results may be left out. */
export type Parts = Pick<Worked, 'results'> &
  Partial<Pick<Worked, 'tables' | 'working' | 'warnings' | 'entries'>> & {
    cautions?: readonly CautionId[];
    cautionWords?: Readonly<Record<string, string>>;
    outside?: readonly OutOfRange[];
  };

/** Puts an answer together; a relation used outside its range becomes a warning, each told once. */
export function worked({
  results,
  tables = [],
  working = [],
  warnings = [],
  entries = [],
  cautions = [],
  cautionWords = {},
  outside = [],
}: Parts): Worked {
  const ranges = outside.map((note) => `${sayOutOfRange(note)}.`);
  return {
    results,
    tables,
    working,
    warnings: [...new Set([...warnings, ...ranges])],
    cautions: cautionsFor(cautions, cautionWords),
    entries,
  };
}
