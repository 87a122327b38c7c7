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
  /** Rows of long texts are written a field a line. */
  readonly tall?: true;
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
  {
    csv: 'packages/counsel/data/limits.csv',
    module: 'packages/counsel/src/welfare/limits-table.ts',
    rowType: 'LimitRow',
    constant: 'limitsTable',
    tall: true,
    keep: (row) => row.row_type === 'band',
    columns: [
      ['id', 'string', 'id'],
      ['parameter', 'string', 'parameter'],
      ['animals', 'string', 'animal_group'],
      ['stage', 'string', 'life_stage'],
      ['hours', 'number', 'averaging_time_h'],
      ['unit', 'string', 'unit'],
      ['okMin', 'number | null', 'ok_min'],
      ['okMax', 'number | null', 'ok_max'],
      ['emergencyBelow', 'number | null', 'emergency_below'],
      ['emergencyAbove', 'number | null', 'emergency_above'],
      ['basis', 'string', 'basis'],
      ['source', 'string', 'source'],
      ['evidence', 'string', 'evidence'],
    ],
  },
  {
    csv: 'packages/counsel/data/stalls.csv',
    module: 'packages/counsel/src/stall/stalls-table.ts',
    rowType: 'StallRow',
    constant: 'stallsTable',
    tall: true,
    columns: [
      ['id', 'string', 'id'],
      ['name', 'string', 'name'],
      ['toldBy', 'string', 'discriminating_test'],
      ['action', 'string', 'first_action'],
      ['never', 'string', 'do_not'],
      ['prior', 'string', 'likelihood_prior'],
      ['source', 'string', 'source'],
      ['evidence', 'string', 'evidence'],
    ],
  },
];

function cell(type: string, text: string | undefined, tall = false): string {
  if (type === 'string') return tall ? quoted(text ?? '') : JSON.stringify(text ?? '');
  if ((text ?? '') === '' && type === 'number | null') return 'null';
  const number = Number(text);
  if (Number.isNaN(number)) throw new Error(`"${text}" is not a number`);
  return String(number);
}

/** A text in single quotes, or in double where it holds single ones, as the formatter writes it. */
const quoted = (text: string): string => {
  const double = JSON.stringify(text);
  return text.includes("'") ? double : `'${double.slice(1, -1).replaceAll('\\"', '"')}'`;
};

const widest = 110;

/** A row a field a line, as the formatter lays it out. */
function tallRow(columns: Columns, row: Row): string {
  const fields = columns.map(([name, type, from]) => {
    const value = cell(type, row[from], true);
    const line = `    ${name}: ${value},`;
    return line.length <= widest ? line : `    ${name}:\n      ${value},`;
  });
  return `  {\n${fields.join('\n')}\n  },`;
}

/** The module of a table. */
export function moduleOf(table: Table, csv: string): string {
  const { data, errors } = Papa.parse<Row>(csv, { header: true, skipEmptyLines: true });
  const first = errors[0];
  if (first) throw new Error(`${table.csv} row ${first.row}: ${first.message}`);
  const rows = data.filter(table.keep ?? (() => true));
  const lines = rows.map((row) =>
    table.tall
      ? tallRow(table.columns, row)
      : `  { ${table.columns.map(([name, type, from]) => `${name}: ${cell(type, row[from])}`).join(', ')} },`,
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
