/** Written by tools/write-migrations.ts from the SQL beside it; edit that. */

export type Engine = 'sqlite' | 'postgres';

export interface Migration {
  readonly number: number;
  readonly name: string;
  /** Undefined where the SQL is the same for all. */
  readonly engine: Engine | undefined;
  readonly sql: string;
}

export const migrations: readonly Migration[] = [
  {
    number: 1,
    name: 'entry',
    engine: undefined,
    sql: `-- Every entry of the journal, in order of arrival. \`line\` is the entry as it is written in a journal file, byte for
-- byte; the columns beside it are copies of what it says, to find it by.
create table entry (
  seq bigint primary key,
  id text not null unique,
  tank text not null,
  line text not null
);
create index entry_by_tank on entry (tank, seq);
`,
  },
  {
    number: 2,
    name: 'append_only',
    engine: 'postgres',
    sql: `-- Entries never change and are never taken out: a correction is an entry of its own.
create function entry_stays() returns trigger language plpgsql as $$
begin
  raise exception 'entries never change and are never deleted: append a correction';
end
$$;
create trigger entry_never_changes before update on entry for each row execute function entry_stays();
create trigger entry_never_goes before delete on entry for each row execute function entry_stays();
create trigger entry_never_emptied before truncate on entry for each statement execute function entry_stays();
`,
  },
  {
    number: 2,
    name: 'append_only',
    engine: 'sqlite',
    sql: `-- Entries never change and are never taken out: a correction is an entry of its own.
create trigger entry_never_changes before update on entry
begin
  select raise(abort, 'entries never change: append a correction');
end;
create trigger entry_never_goes before delete on entry
begin
  select raise(abort, 'entries are never deleted: append a strike');
end;
`,
  },
  {
    number: 3,
    name: 'append',
    engine: 'postgres',
    sql: `-- Puts entries in, all or none where any of them is there already; tells how many. One call is one transaction, so that
-- an append is one round trip. Writers take turns by the lock: each statement here sees what was committed before it
-- was had. \`given\`: a list of {id, tank, line}.
create function entry_append(lock bigint, given json) returns bigint language plpgsql as $$
declare
  added bigint;
begin
  perform set_config('synchronous_commit', 'on', true);
  perform pg_advisory_xact_lock(lock);
  with one as materialized (
    select id, tank, line, place
    from rows from (json_to_recordset(given) as (id text, tank text, line text))
      with ordinality as listed (id, tank, line, place))
  insert into entry (seq, id, tank, line)
  select (select coalesce(max(seq), 0) from entry) + place, id, tank, line from one
  where not exists (select 1 from one join entry using (id));
  get diagnostics added = row_count;
  return added;
end
$$;
`,
  },
  {
    number: 4,
    name: 'by_tank',
    engine: 'postgres',
    sql: `-- Each tank's entries have an order of their own, and ids are looked for within a tank: so tables can be spread over
-- several databases by tank, and writers of different tanks need not wait for one another. Places given before stand as
-- they are, since they rise within each tank.
drop function entry_append(bigint, json);
alter table entry rename column seq to place;
alter table entry
  drop constraint entry_pkey,
  drop constraint entry_id_key,
  add primary key (tank, place),
  add unique (tank, id);
drop index entry_by_tank;

-- Puts entries in, each tank's behind its newest: all of them, or none where the key of one is taken (by the same entry,
-- or because another writer of the tank was quicker). One call is one transaction and one round trip. The key is what
-- orders the writers of a tank: whoever comes second waits for the first, is refused, and has to ask again, so that a
-- place is never seen before those below it.
-- \`ids\` and \`lines\` are those of the first tank, then of the second, …; \`counts\` says how many each has.
create function entry_append(tanks text[], counts integer[], ids text[], lines text[]) returns void
language plpgsql as $$
declare
  before integer := 0;
begin
  perform set_config('synchronous_commit', 'on', true);
  for n in 1 .. cardinality(tanks) loop
    insert into entry (tank, place, id, line)
    select tanks[n], (select coalesce(max(place), 0) from entry where tank = tanks[n]) + nth, id, line
    from unnest(ids[before + 1 : before + counts[n]], lines[before + 1 : before + counts[n]])
      with ordinality as given (id, line, nth);
    before := before + counts[n];
  end loop;
end
$$;
`,
  },
  {
    number: 4,
    name: 'by_tank',
    engine: 'sqlite',
    sql: `-- Each tank's entries have an order of their own, and ids are looked for within a tank, as on PostgreSQL. Places given
-- before stand as they are, since they rise within each tank. A tank's entries lie together, in their order.
create table placed (
  tank text not null,
  place integer not null,
  id text not null,
  line text not null,
  primary key (tank, place),
  unique (tank, id)
) without rowid;
insert into placed (tank, place, id, line) select tank, seq, id, line from entry order by tank, seq;
drop table entry;
alter table placed rename to entry;
create trigger entry_never_changes before update on entry
begin
  select raise(abort, 'entries never change: append a correction');
end;
create trigger entry_never_goes before delete on entry
begin
  select raise(abort, 'entries are never deleted: append a strike');
end;
`,
  },
];
