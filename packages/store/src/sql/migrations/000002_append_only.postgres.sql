-- Entries never change and are never taken out: a correction is an entry of its own.
create function entry_stays() returns trigger language plpgsql as $$
begin
  raise exception 'entries never change and are never deleted: append a correction';
end
$$;
create trigger entry_never_changes before update on entry for each row execute function entry_stays();
create trigger entry_never_goes before delete on entry for each row execute function entry_stays();
create trigger entry_never_emptied before truncate on entry for each statement execute function entry_stays();
