-- Entries never change and are never taken out: a correction is an entry of its own.
create trigger entry_never_changes before update on entry
begin
  select raise(abort, 'entries never change: append a correction');
end;
create trigger entry_never_goes before delete on entry
begin
  select raise(abort, 'entries are never deleted: append a strike');
end;
