CREATE TABLE entry (
  seq bigint primary key,
  id text not null unique,
  tank text not null,
  line text not null
);

CREATE INDEX entry_by_tank on entry (tank, seq);

CREATE TRIGGER entry_never_changes before update on entry
begin
  select raise(abort, 'entries never change: append a correction');
end;

CREATE TRIGGER entry_never_goes before delete on entry
begin
  select raise(abort, 'entries are never deleted: append a strike');
end;

CREATE TABLE journal_migration (number integer primary key, name text not null);
