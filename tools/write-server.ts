/**
 * Writes what is made from the server's sources: its numbered SQL as a module, so that every bundler and runner finds
 * it, and the description of its HTTP interface. `npx tsx tools/write-server.ts`
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const folder = fileURLToPath(new URL('../apps/server/src/sql/migrations/', import.meta.url));
const modulePath = fileURLToPath(new URL('../apps/server/src/sql/migrations.gen.ts', import.meta.url));
const documentPath = fileURLToPath(new URL('../schema/openapi.json', import.meta.url));

/** `NNNNNN_name.sql`, or `NNNNNN_name.ENGINE.sql` where the engines differ. */
const NAME = /^(\d{6})_([a-z_]+)(?:\.(sqlite|postgres))?\.sql$/;

function migrationsModule(): string {
  const items = readdirSync(folder)
    .sort()
    .map((file) => {
      const match = NAME.exec(file);
      if (match === null) throw new Error(`${file} is not named NNNNNN_name.sql or NNNNNN_name.ENGINE.sql.`);
      const [, number, name, engine] = match;
      const text = readFileSync(`${folder}${file}`, 'utf8').replace(/[\\`]|\$(?={)/g, '\\$&');
      return `  {
    number: ${Number(number)},
    name: '${name}',
    engine: ${engine === undefined ? 'undefined' : `'${engine}'`},
    text: \`${text}\`,
  },`;
    });
  return `/** Written by tools/write-server.ts from the SQL beside it; edit that. */

export interface Migration {
  readonly number: number;
  readonly name: string;
  /** Undefined where the SQL is the same for all. */
  readonly engine: 'sqlite' | 'postgres' | undefined;
  readonly text: string;
}

export const migrations: readonly Migration[] = [
${items.join('\n')}
];
`;
}

writeFileSync(modulePath, migrationsModule());
// Only now: the server's sources import the module just written.
const { describeInterface } = await import('@brinewright/server');
writeFileSync(documentPath, `${JSON.stringify(await describeInterface(), null, 2)}\n`);
