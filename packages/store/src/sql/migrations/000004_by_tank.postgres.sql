-- Each tank's entries have an order of their own, and ids are looked for within a tank: so tables can be spread over
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
-- `ids` and `lines` are those of the first tank, then of the second, …; `counts` says how many each has.
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
