/**
 * Copies the numbered SQL of the store into a module, so that every bundler and runner finds it:
 * `npx tsx tools/write-migrations.ts`. Names are `NNNNNN_name.sql`, or `NNNNNN_name.ENGINE.sql` where engines differ.
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const folder = fileURLToPath(new URL('../packages/store/src/sql/migrations/', import.meta.url));
export const modulePath = fileURLToPath(
  new URL('../packages/store/src/sql/migrations.gen.ts', import.meta.url),
);

const NAME = /^(\d{6})_([a-z_]+)(?:\.(sqlite|postgres))?\.sql$/;

/** The module's text. @throws Error for a file whose name says neither number nor engine */
export function migrationsModule(): string {
  const items = readdirSync(folder)
    .sort()
    .map((file) => {
      const match = NAME.exec(file);
      if (match === null) throw new Error(`${file} is not named NNNNNN_name.sql or NNNNNN_name.ENGINE.sql.`);
      const [, number, name, engine] = match;
      const fields = [
        `number: ${Number(number)}`,
        `name: '${name}'`,
        `engine: ${engine === undefined ? 'undefined' : `'${engine}'`}`,
        `sql: \`${readFileSync(`${folder}${file}`, 'utf8').replace(/[\\`]|\$(?={)/g, '\\$&')}\``,
      ];
      return `  {\n    ${fields.join(',\n    ')},\n  },`;
    });
  return `/** Written by tools/write-migrations.ts from the SQL beside it; edit that. */

export type Engine = 'sqlite' | 'postgres';

export interface Migration {
  readonly number: number;
  readonly name: string;
  /** Undefined where the SQL is the same for all. */
  readonly engine: Engine | undefined;
  readonly sql: string;
}

export const migrations: readonly Migration[] = [
${items.join('\n')}
];
`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(modulePath, migrationsModule());
