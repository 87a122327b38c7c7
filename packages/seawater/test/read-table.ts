import { readdirSync, readFileSync } from 'node:fs';
import type { TableRow } from '@brinewright/seawater';

const folder = new URL('./tables/', import.meta.url);

/** Fields of one line of CSV; a quoted field may hold commas, and `""` is a quote. */
const fields = (line: string): string[] =>
  [...line.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/g)].map(
    ([, quoted, bare]) => quoted?.replaceAll('""', '"') ?? bare ?? '',
  );

/** Names of the check tables. */
export const tableNames = (): string[] => readdirSync(folder).filter((name) => name.endsWith('.csv'));

/** Rows of one check table, by column name. */
export function readTable(name: string): TableRow[] {
  const [header, ...lines] = readFileSync(new URL(name, folder), 'utf8').trim().split(/\r?\n/);
  const columns = fields(header!);
  return lines.map((line) => {
    const values = fields(line);
    return Object.fromEntries(columns.map((column, i) => [column, values[i] ?? '']));
  });
}
