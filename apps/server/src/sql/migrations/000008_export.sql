-- Files made for people to take away, in parts (base64), until they expire. '' is the one person of a server for one.
create table export (
  id text primary key,
  account text not null,
  asked bigint not null,
  expires bigint not null,
  state text not null check (state in ('waiting', 'ready')),
  bytes bigint not null
);
create index export_by_account on export (account);
create table export_part (
  export text not null references export (id) on delete cascade,
  part integer not null,
  content text not null,
  primary key (export, part)
);
