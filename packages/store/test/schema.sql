CREATE TABLE "entry" (
  tank text not null,
  place integer not null,
  id text not null,
  line text not null,
  primary key (tank, place),
  unique (tank, id)
) without rowid;

CREATE TRIGGER entry_never_changes before update on entry
begin
  select raise(abort, 'entries never change: append a correction');
end;

CREATE TRIGGER entry_never_goes before delete on entry
begin
  select raise(abort, 'entries are never deleted: append a strike');
end;

CREATE TABLE journal_migration (number integer primary key, name text not null);
