-- Puts entries in, all or none where any of them is there already; tells how many. One call is one transaction, so that
-- an append is one round trip. Writers take turns by the lock: each statement here sees what was committed before it
-- was had. `given`: a list of {id, tank, line}.
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
