import { mkdirSync } from 'node:fs';
import type { JournalStore } from '@brinewright/journal';
import { postgresStore } from '@brinewright/store/postgres';
import { sqliteStore } from '@brinewright/store/sqlite';
import type { Config } from './config.ts';
import { journalFile } from './copies.ts';
import type { Database } from './sql/database.ts';
import { postgresDatabase } from './sql/postgres.ts';
import { sqliteDatabase, takeTurns } from './sql/sqlite.ts';

/** The database twice: as the store of entries, and for the server's own tables. */
export interface Kept {
  readonly store: JournalStore;
  readonly database: Database;
}

/** Opens, and lays out where it is new, what everything is kept in. */
export async function openKept({ data, databaseUrl }: Pick<Config, 'data' | 'databaseUrl'>): Promise<Kept> {
  if (databaseUrl !== undefined)
    return both(await postgresStore(databaseUrl), () => postgresDatabase(databaseUrl));
  mkdirSync(data, { recursive: true, mode: 0o700 });
  const file = journalFile(data);
  const turns = takeTurns();
  return both(sqliteStore(file, turns), () => sqliteDatabase(file, turns));
}

async function both(store: JournalStore, open: () => Promise<Database>): Promise<Kept> {
  try {
    return { store, database: await open() };
  } catch (error) {
    await store.close();
    throw error;
  }
}
