import type { Database, Sql } from './database.ts';
import { type Migration, migrations } from './migrations.gen.ts';

/** Thrown where a database is not one this program may write to. */
class LayoutError extends Error {
  override readonly name = 'LayoutError';
}

interface Applied {
  readonly number: number;
  readonly name: string;
}

/**
 * Takes a database through the migrations it has not been through, in order. Forward only: nothing is ever undone.
 * To be called in a transaction that no other process can be in.
 * @throws LayoutError where the database was written by a newer program, or its past is not ours
 */
export async function migrate(engine: Database['engine'], sql: Sql): Promise<void> {
  await sql.script(
    'create table if not exists server_migration (number integer primary key, name text not null)',
  );
  const applied = await sql.all<Applied>('select number, name from server_migration order by number');
  for (const { number, name, text } of pending(engine, applied)) {
    await sql.script(text);
    await sql.run('insert into server_migration (number, name) values ($1, $2)', number, name);
  }
}

function pending(engine: Database['engine'], applied: readonly Applied[]): readonly Migration[] {
  const own = migrations.filter((one) => one.engine === undefined || one.engine === engine);
  for (const { number, name } of applied) {
    if (own.some((one) => one.number === number && one.name === name)) continue;
    const newest = own.at(-1)?.number ?? 0;
    throw new LayoutError(
      number > newest
        ? `This database was written by a newer version of the server (layout ${number}; this one knows ${newest}). Nothing was changed. Use the newer version.`
        : `This database went through a change "${name}" (${number}) that this server does not know. Nothing was changed. Use the program that wrote it.`,
    );
  }
  return own.slice(applied.length);
}
