-- Instruments that send by themselves. `state` is what thinning has to remember; `version` counts its changes, so that
-- two processes cannot both go on from the same state. `outbox` is what has still to be written into the journal.
create table probe (
  tank text not null,
  id text not null,
  name text not null,
  analyte text not null check (analyte in ('temperature', 'pH', 'salinity')),
  secret text not null unique,
  settings text not null,
  state text not null,
  outbox text not null,
  version bigint not null,
  created bigint not null,
  primary key (tank, id)
);
-- Values that cannot be so: kept apart from the journal, for a person to look at.
create table probe_aside (
  tank text not null,
  probe text not null,
  at bigint not null,
  value text not null,
  why text not null,
  primary key (tank, probe, at, why),
  foreign key (tank, probe) references probe (tank, id) on delete cascade
);
