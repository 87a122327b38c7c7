/** Writes the tables the pure packages use as modules, from the CSV files beside them, which carry the sources. */
import { readFileSync, writeFileSync } from 'node:fs';
import Papa from 'papaparse';

type Row = Record<string, string>;

/** Columns of a table in the order of the module: name, type, and where it is read from. */
type Columns = readonly (readonly [
  name: string,
  type: 'string' | 'number' | 'number | null',
  from: string,
])[];

interface Table {
  readonly csv: string;
  readonly module: string;
  readonly rowType: string;
  readonly constant: string;
  readonly columns: Columns;
  readonly keep?: (row: Row) => boolean;
}

export const tables: readonly Table[] = [
  {
    csv: 'packages/nitrogen/data/priors.csv',
    module: 'packages/nitrogen/src/priors/table.ts',
    rowType: 'PriorRow',
    constant: 'priorTable',
    columns: [
      ['symbol', 'string', 'symbol'],
      ['meaning', 'string', 'meaning'],
      ['unit', 'string', 'unit'],
      ['distribution', 'string', 'distribution'],
      ['median', 'number', 'median'],
      ['p05', 'number', 'p05'],
      ['p95', 'number', 'p95'],
      ['basis', 'string', 'basis (short)'],
      ['source', 'string', 'source citation'],
    ],
  },
  {
    csv: 'packages/counsel/data/bioload.csv',
    module: 'packages/counsel/src/arrivals/bioload-table.ts',
    rowType: 'BioloadRow',
    constant: 'bioloadTable',
    keep: (row) => ['fish', 'invertebrate', 'cnidarian'].includes(row.row_type ?? ''),
    columns: [
      ['type', 'string', 'row_type'],
      ['class', 'string', 'class'],
      ['typicalLengthCm', 'number | null', 'length_typ_cm'],
      ['typicalMassG', 'number | null', 'wet_mass_typ_g'],
      ['lengthWeightA', 'number | null', 'lw_a'],
      ['lengthWeightB', 'number | null', 'lw_b'],
      ['lowMgNPerDay', 'number | null', 'tan_mg_n_day_low'],
      ['typicalMgNPerDay', 'number | null', 'tan_mg_n_day_typ'],
      ['highMgNPerDay', 'number | null', 'tan_mg_n_day_high'],
      ['source', 'string', 'source'],
      ['evidence', 'string', 'evidence'],
    ],
  },
];

function cell(type: string, text: string | undefined): string {
  if (type === 'string') return JSON.stringify(text ?? '');
  if ((text ?? '') === '' && type === 'number | null') return 'null';
  const number = Number(text);
  if (Number.isNaN(number)) throw new Error(`"${text}" is not a number`);
  return String(number);
}

/** The module of a table. */
export function moduleOf(table: Table, csv: string): string {
  const { data, errors } = Papa.parse<Row>(csv, { header: true, skipEmptyLines: true });
  const first = errors[0];
  if (first) throw new Error(`${table.csv} row ${first.row}: ${first.message}`);
  const rows = data.filter(table.keep ?? (() => true));
  const lines = rows.map(
    (row) =>
      `  { ${table.columns.map(([name, type, from]) => `${name}: ${cell(type, row[from])}`).join(', ')} },`,
  );
  return `// Written by tools/write-tables.ts from ${table.csv.split('/').slice(2).join('/')}; change the table, not this file.

export interface ${table.rowType} {
${table.columns.map(([name, type]) => `  readonly ${name}: ${type};`).join('\n')}
}

export const ${table.constant}: readonly ${table.rowType}[] = [
${lines.join('\n')}
];
`;
}

const root = new URL('../', import.meta.url);

export const written = (table: Table): string =>
  moduleOf(table, readFileSync(new URL(table.csv, root), 'utf8'));

if (process.argv[1]?.endsWith('write-tables.ts'))
  for (const table of tables) writeFileSync(new URL(table.module, root), written(table));
