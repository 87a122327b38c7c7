import { type Engine, type Migration, migrations } from './migrations.gen.ts';

export interface Applied {
  readonly number: number;
  readonly name: string;
}

/** Notes which migrations a database has been through. */
export const bookkeeping =
  'create table if not exists journal_migration (number integer primary key, name text not null)';

export const noteMigration = 'insert into journal_migration (number, name) values ($1, $2)';

/** Thrown where a database is not one this program may write to. */
export class LayoutError extends Error {
  constructor(message: string) {
    super(`${message} Nothing was changed.`);
    this.name = 'LayoutError';
  }
}

/**
 * The migrations a database still has to go through, in order. Forward only: nothing is ever undone.
 * @throws LayoutError where it was written by a newer program, or its past is not ours
 */
export function pending(engine: Engine, applied: readonly Applied[]): readonly Migration[] {
  const own = migrations.filter((one) => one.engine === undefined || one.engine === engine);
  for (const { number, name } of applied) {
    const expected = own.find((one) => one.number === number);
    if (expected?.name === name) continue;
    const newest = own.at(-1)?.number ?? 0;
    throw new LayoutError(
      number > newest
        ? `This journal was written by a newer version of the program (layout ${number}; this one knows ${newest}). Use the newer version.`
        : `This journal went through a change "${name}" (${number}) that this program does not know. Use the program that wrote it.`,
    );
  }
  return own.slice(applied.length);
}
