import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { conformanceCases } from '@brinewright/store/conformance';
import { sqliteStore } from '@brinewright/store/sqlite';
import Database from 'libsql';
import { afterAll, describe, expect, it, vi } from 'vitest';
import { expectCarriedOver, oldenSql } from './support/olden.ts';

// A busy machine may take its time to force things to the disk.
vi.setConfig({ testTimeout: 60_000 });

const folder = mkdtempSync(join(tmpdir(), 'brinewright-sqlite-'));
let places = 0;
const unused = (): string => join(folder, `journal-${places++}.db`);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('journal store in SQLite', () => {
  for (const { name, run } of conformanceCases) {
    it(name, () => {
      const path = unused();
      return run({ open: async () => sqliteStore(path) });
    });
  }
});

describe('a place where no journal can be kept', () => {
  it('is named', () => {
    const path = join(folder, 'nowhere', 'journal.db');
    expect(() => sqliteStore(path)).toThrow(`The journal ${path} cannot be opened`);
  });

  it('is not overwritten', () => {
    const path = unused();
    writeFileSync(
      path,
      'a shopping list, longer than the header of a database file would be, to be kept as it is\n'.repeat(9),
    );
    expect(() => sqliteStore(path)).toThrow(/not a database/);
    expect(readFileSync(path, 'utf8')).toMatch(/^a shopping list/);
  });
});

describe('the layout of the SQLite file', () => {
  it('is the committed one', async () => {
    const path = unused();
    await sqliteStore(path).close();
    const db = new Database(path);
    const rows = db.prepare('select sql from sqlite_master where sql is not null order by name').all();
    db.close();
    const dump = (rows as { sql: string }[]).map(({ sql }) => `${sql};\n`).join('\n');
    await expect(dump).toMatchFileSnapshot('./schema.sql');
  });

  it('refuses to change or delete an entry', async () => {
    const path = unused();
    const store = sqliteStore(path);
    const db = new Database(path);
    db.exec("insert into entry (tank, place, id, line) values ('t', 1, 'a', '{}')");
    expect(() => db.exec("update entry set line = 'x'")).toThrow(/entries never change/);
    expect(() => db.exec('delete from entry')).toThrow(/entries are never deleted/);
    expect(await store.count()).toBe(1);
    db.close();
    await store.close();
  });

  it('is left alone when a newer program wrote it', async () => {
    const path = unused();
    await sqliteStore(path).close();
    const db = new Database(path);
    db.exec("insert into journal_migration values (7, 'moon_phase')");
    expect(() => sqliteStore(path)).toThrow(/newer version of the program \(layout 7; this one knows 4\)/);
    db.exec(
      "delete from journal_migration where number > 1; insert into journal_migration values (2, 'other')",
    );
    expect(() => sqliteStore(path)).toThrow(/a change "other" \(2\) that this program does not know/);
    db.close();
  });

  it('is brought forward from where it stands, with all that is kept in it', async () => {
    const path = unused();
    const db = new Database(path);
    db.exec(oldenSql('sqlite'));
    const store = sqliteStore(path);
    await expectCarriedOver(store);
    expect(() => db.exec("update entry set line = 'x'")).toThrow(/entries never change/);
    expect(() => db.exec('delete from entry')).toThrow(/entries are never deleted/);
    await store.close();
    db.close();
  });
});
