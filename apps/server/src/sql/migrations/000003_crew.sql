-- People, how they prove who they are, and what they may do. Secrets are kept as SHA-256 of the secret (or, for
-- passwords, Argon2id), so that a copy of the database opens nothing.
create table account (
  id text primary key,
  name text not null,
  -- The name in lower case and normal form: no two people are told apart by that alone.
  folded text not null unique,
  created bigint not null
);
create table password (
  account text primary key references account (id) on delete cascade,
  hash text not null
);
create table passkey (
  id text primary key,
  account text not null references account (id) on delete cascade,
  public_key text not null,
  counter bigint not null,
  transports text not null,
  created bigint not null
);
create index passkey_by_account on passkey (account);
create table session (
  secret text primary key,
  account text not null references account (id) on delete cascade,
  created bigint not null,
  expires bigint not null
);
create index session_by_account on session (account);
-- A passkey being made or asked for: what the device has to sign.
create table ceremony (
  id text primary key,
  challenge text not null,
  account text,
  expires bigint not null
);
create table crew (
  tank text not null,
  account text not null references account (id) on delete cascade,
  role text not null check (role in ('keeper', 'mentor', 'reader')),
  since bigint not null,
  primary key (tank, account)
);
create index crew_by_account on crew (account, tank);
-- The founding invitation names no tank: whoever takes it up becomes keeper of what was there before.
create table invitation (
  tank text,
  id text primary key,
  secret text not null unique,
  role text not null,
  invited_by text references account (id) on delete cascade,
  expires bigint not null
);
create index invitation_by_tank on invitation (tank);
-- Orders that a mentor proposes and a keeper accepts or declines.
create table proposal (
  tank text not null,
  id text not null,
  proposed_by text not null,
  proposed_at bigint not null,
  body text not null,
  decision text check (decision in ('accepted', 'declined')),
  decided_by text,
  decided_at bigint,
  primary key (tank, id)
);
