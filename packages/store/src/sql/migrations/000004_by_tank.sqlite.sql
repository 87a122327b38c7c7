-- Each tank's entries have an order of their own, and ids are looked for within a tank, as on PostgreSQL. Places given
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
