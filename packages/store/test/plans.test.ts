import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { newEntryId, newTankId } from '@brinewright/journal';
import Libsql from 'libsql';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { allTanks, newestOfTanks } from '../src/sql/queries.ts';
import { linesUnder, pageOfTank, putBehind } from '../src/sqlite/statements.ts';
import { sqliteStore } from '../src/sqlite/store.ts';

const TANKS = 50;
const START = Date.UTC(2026, 2, 1, 8);
const tank = (n: number) => newTankId(START + (n % TANKS), new Uint8Array(10));

let folder: string;
let db: Libsql.Database;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'brinewright-plans-'));
  const store = sqliteStore(join(folder, 'journal.sqlite'));
  await store.append(
    Array.from({ length: 10_000 }, (_, n) => ({
      id: newEntryId(START + n, new Uint8Array(10).fill(3)),
      tank: tank(n),
      at: new Date(START + n * 1000).toISOString(),
      kind: 'note',
      body: { text: `note ${n}` },
    })),
  );
  const heads = await store.heads();
  expect([heads.size, (await store.tanks()).length]).toEqual([TANKS, TANKS]);
  expect(heads.get(tank(7))?.cursor).toBe(10_000 / TANKS);
  await store.close();
  db = new Libsql(join(folder, 'journal.sqlite'));
});
afterAll(() => {
  db.close();
  rmSync(folder, { recursive: true, force: true });
});

// However long a journal grows, none of these may look at all of it.
describe('what is asked of a long journal', () => {
  it.each([
    ['every tank', allTanks],
    ['the newest entry of each', newestOfTanks],
    ['which of some entries are kept', linesUnder],
    ['where new entries go', putBehind],
    ['a page of one tank', pageOfTank],
    ['a page of all', 'select line from entry where (tank, place) > (?1, ?2) order by tank, place limit ?3'],
  ])('%s: is found by an index', (_, sql) => {
    const plan = db.prepare(`explain query plan ${sql}`).all() as readonly { detail: string }[];
    expect(plan.map(({ detail }) => detail).join('\n')).toMatch(/SEARCH/);
    for (const { detail } of plan) expect(detail).not.toMatch(/^SCAN (entry|newest)\b|TEMP B-TREE.*DISTINCT/);
  });
});
