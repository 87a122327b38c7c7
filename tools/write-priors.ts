/** Writes packages/nitrogen/src/priors/table.ts from the table of priors, so that the science has no file to read. */
import { readFileSync, writeFileSync } from 'node:fs';
import Papa from 'papaparse';

const folder = new URL('../packages/nitrogen/', import.meta.url);

export function priorModule(csv: string): string {
  const { data, errors } = Papa.parse<Record<string, string>>(csv, { header: true, skipEmptyLines: true });
  const first = errors[0];
  if (first) throw new Error(`priors.csv row ${first.row}: ${first.message}`);
  const rows = data.map((row) => ({
    symbol: row.symbol,
    meaning: row.meaning,
    unit: row.unit,
    distribution: row.distribution,
    median: Number(row.median),
    p05: Number(row.p05),
    p95: Number(row.p95),
    basis: row['basis (short)'],
    source: row['source citation'],
  }));
  return `// Written by tools/write-priors.ts from data/priors.csv; change the table, not this file.

export interface PriorRow {
  readonly symbol: string;
  readonly meaning: string;
  readonly unit: string;
  readonly distribution: string;
  readonly median: number;
  readonly p05: number;
  readonly p95: number;
  readonly basis: string;
  readonly source: string;
}

export const priorTable: readonly PriorRow[] = [
${rows.map((row) => `  ${JSON.stringify(row)},`).join('\n')}
];
`;
}

if (process.argv[1]?.endsWith('write-priors.ts')) {
  const csv = readFileSync(new URL('data/priors.csv', folder), 'utf8');
  writeFileSync(new URL('src/priors/table.ts', folder), priorModule(csv));
}
