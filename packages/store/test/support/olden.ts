/** A journal as it was laid out when all tanks had one order of arrival, with entries of two tanks in it. */
import { type Entry, type JournalStore, lineOf, newEntryId, newTankId, START } from '@brinewright/journal';
import { expect } from 'vitest';
import { type Engine, migrations } from '../../src/sql/migrations.gen.ts';

const ONE_ORDER = 3;
const tanks = [1, 2].map((n) => newTankId(n, new Uint8Array(10)));

const note = (n: number): Entry => ({
  id: newEntryId(n, new Uint8Array(10).fill(6)),
  tank: tanks[n % 2] as Entry['tank'],
  at: '2026-03-01T08:00:00Z',
  kind: 'note',
  body: { text: `It's the ${n}th` },
});

/** SQL that makes it: layout, what notes that, and entries at places 1 to 9, those of the first tank at even ones. */
export function oldenSql(engine: Engine): string {
  const past = migrations.filter((one) => one.number <= ONE_ORDER && (one.engine ?? engine) === engine);
  const entries = Array.from({ length: 9 }, (_, n) => note(n + 1));
  const quoted = (text: string): string => `'${text.replaceAll("'", "''")}'`;
  return [
    'create table journal_migration (number integer primary key, name text not null);',
    ...past.map(
      ({ number, name, sql }) => `${sql} insert into journal_migration values (${number}, '${name}');`,
    ),
    ...entries.map(
      (entry, n) =>
        `insert into entry (seq, id, tank, line) values (${[n + 1, ...[entry.id, entry.tank, lineOf(entry)].map(quoted)]});`,
    ),
  ].join('\n');
}

/** Nothing of it is lost, places that devices hold still lead to the same entries, and it is written on from there. */
export async function expectCarriedOver(store: JournalStore): Promise<void> {
  const [even, odd] = tanks as [Entry['tank'], Entry['tank']];
  const ids = async (tank: Entry['tank'], since = START) =>
    (await store.read({ tank, since })).entries.map(({ id }) => id);
  expect(await ids(even)).toEqual([2, 4, 6, 8].map((n) => note(n).id));
  expect((await store.read({ tank: odd })).entries).toEqual([1, 3, 5, 7, 9].map(note));
  expect([...(await store.heads())]).toEqual([
    [even, { cursor: 8, last: note(8).id }],
    [odd, { cursor: 9, last: note(9).id }],
  ]);
  expect(await ids(odd, 5 as typeof START)).toEqual([note(7).id, note(9).id]);
  expect(await store.append([note(8), note(10), note(11)])).toEqual({
    added: [note(10).id, note(11).id],
    known: [note(8).id],
  });
  expect(await ids(even, 8 as typeof START)).toEqual([note(10).id]);
  expect((await store.heads()).get(odd)).toEqual({ cursor: 10, last: note(11).id });
}
