/** Tables of tanks, spread by tank as a distributed database would: by PostgreSQL's own partitions, here in one place. */
import { withClient } from './postgres.ts';

export const SHARDS = 4;

interface Table {
  readonly name: string;
  /** What `like … including all` does not carry over. */
  readonly foreignKeys: readonly string[];
  readonly triggers: readonly string[];
}

/**
 * Makes every table whose key begins with the tank one of as many partitions, `entry_0`, `entry_1`, …, under its name
 * and with all that belongs to it. Takes empty tables. The database refuses it where anything unique does not hold the
 * tank. Tells their names.
 */
export const spreadByTank = (url: string): Promise<readonly string[]> =>
  withClient(url, async (client) => {
    const { rows: tables } = await client.query<Table>(OF_TANKS);
    await client.query('begin');
    for (const { name } of tables) await client.query(spread(name));
    for (const { name, foreignKeys, triggers } of tables) {
      await client.query(`drop table ${name}_whole cascade`);
      for (const key of foreignKeys) await client.query(`alter table ${name} add ${key}`);
      for (const trigger of triggers) await client.query(trigger);
    }
    await client.query('commit');
    return tables.map(({ name }) => name);
  });

/**
 * Does work while every part but that of the one tank in the database is shut away: whatever needs another waits for
 * it, and is refused where its connection has a `lock_timeout`.
 */
export const withOneShard = <T>(url: string, tables: readonly string[], work: () => Promise<T>): Promise<T> =>
  withClient(url, async (client) => {
    const { rows } = await client.query<{ part: string }>(
      'select distinct tableoid::regclass as part from entry',
    );
    if (rows.length !== 1) throw new Error(`the entries lie in ${rows.length} parts`);
    const kept = rows[0]?.part.replace('entry', '');
    const others = tables.flatMap((name) => parts(name).filter((part) => part !== `${name}${kept}`));
    await client.query(`begin; lock table ${others.join()}`);
    return work();
  });

/** The address of a database where nothing waits long for what is shut away. */
export const impatient = (url: string): string =>
  `${url}&options=${encodeURIComponent('-c lock_timeout=1s')}`;

const parts = (name: string): string[] => Array.from({ length: SHARDS }, (_, n) => `${name}_${n}`);

const OF_TANKS = `
  select c.relname as name,
    array(select pg_get_constraintdef(k.oid) from pg_constraint k where k.conrelid = c.oid and k.contype = 'f')
      as "foreignKeys",
    array(select pg_get_triggerdef(t.oid) from pg_trigger t where t.tgrelid = c.oid and not t.tgisinternal) as triggers
  from pg_class c
  join pg_index i on i.indrelid = c.oid and i.indisprimary
  join pg_attribute a on a.attrelid = c.oid and a.attnum = i.indkey[0]
  where c.relnamespace = 'public'::regnamespace and a.attname = 'tank' order by 1`;

const spread = (name: string): string => {
  const made = parts(name).map(
    (part, n) =>
      `create table ${part} partition of ${name} for values with (modulus ${SHARDS}, remainder ${n});`,
  );
  return `alter table ${name} rename to ${name}_whole;
    create table ${name} (like ${name}_whole including all) partition by hash (tank);
    ${made.join('\n')}`;
};
