-- Every entry of the journal, in order of arrival. `line` is the entry as it is written in a journal file, byte for
-- byte; the columns beside it are copies of what it says, to find it by.
create table entry (
  seq bigint primary key,
  id text not null unique,
  tank text not null,
  line text not null
);
create index entry_by_tank on entry (tank, seq);
