-- What was last reckoned of each tank, so that rounds need not be reckoned while someone waits. It can all be thrown
-- away: the journal gives it again. `state` names the journal's state it was read from; instants are epoch
-- milliseconds.
create table answer (
  tank text not null,
  question text not null,
  state text not null,
  as_of bigint not null,
  body text not null,
  primary key (tank, question)
);
