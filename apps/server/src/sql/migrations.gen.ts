/** Written by tools/write-server.ts from the SQL beside it; edit that. */

export interface Migration {
  readonly number: number;
  readonly name: string;
  /** Undefined where the SQL is the same for all. */
  readonly engine: 'sqlite' | 'postgres' | undefined;
  readonly text: string;
}

export const migrations: readonly Migration[] = [
  {
    number: 1,
    name: 'answer',
    engine: undefined,
    text: `-- What was last reckoned of each tank, so that rounds need not be reckoned while someone waits. It can all be thrown
-- away: the journal gives it again. \`state\` names the journal's state it was read from; instants are epoch
-- milliseconds.
create table answer (
  tank text not null,
  question text not null,
  state text not null,
  as_of bigint not null,
  body text not null,
  primary key (tank, question)
);
`,
  },
  {
    number: 2,
    name: 'task',
    engine: undefined,
    text: `-- Slow work still to be done: at most one of a kind for a subject. \`wanted\` counts how often it was asked for, so
-- that a wish made while the work is under way is not lost; a worker that dies lets go when \`held_until\` has passed.
create table task (
  kind text not null,
  subject text not null,
  due bigint not null,
  wanted bigint not null,
  tries integer not null,
  held_until bigint not null,
  fault text,
  primary key (kind, subject)
);
`,
  },
  {
    number: 3,
    name: 'crew',
    engine: undefined,
    text: `-- People, how they prove who they are, and what they may do. Secrets are kept as SHA-256 of the secret (or, for
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
`,
  },
  {
    number: 4,
    name: 'probe',
    engine: undefined,
    text: `-- Instruments that send by themselves. \`state\` is what thinning has to remember; \`version\` counts its changes, so that
-- two processes cannot both go on from the same state. \`outbox\` is what has still to be written into the journal.
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
`,
  },
  {
    number: 5,
    name: 'calendar',
    engine: undefined,
    text: `-- Secret addresses of calendar feeds, one a person; '' is the one person of a server for one.
create table calendar (
  account text primary key,
  secret text not null unique,
  created bigint not null
);
`,
  },
  {
    number: 6,
    name: 'round',
    engine: undefined,
    text: `-- A tank's line of the rounds, taken from its answer once, so that a thousand of them need not be read out of whole
-- answers. Answers kept before are reckoned anew.
delete from answer;
alter table answer add column round text not null default '';
`,
  },
  {
    number: 7,
    name: 'push',
    engine: undefined,
    text: `-- Where browsers want to be told what is due, as they gave it. '' is the one person of a server for one.
create table push_subscription (
  endpoint text primary key,
  account text not null,
  p256dh text not null,
  auth text not null,
  created bigint not null
);
create index push_subscription_by_account on push_subscription (account);
-- Advice someone was told of, so that it is told once while it stands.
create table reminded (
  account text not null,
  tank text not null,
  advice text not null,
  at bigint not null,
  primary key (account, tank, advice)
);
-- When nobody is to be told of a tank, by the clock where it stands; minutes after midnight.
create table quiet_hours (
  tank text primary key,
  zone text not null,
  from_minute integer not null,
  until_minute integer not null
);
-- What is still to be sent. Gone once the push service has it, or with its subscription.
create table push_message (
  id text primary key,
  endpoint text not null references push_subscription (endpoint) on delete cascade,
  title text not null,
  body text not null,
  path text not null,
  topic text not null,
  urgent integer not null,
  created bigint not null
);
create index push_message_by_endpoint on push_message (endpoint);
`,
  },
  {
    number: 8,
    name: 'export',
    engine: undefined,
    text: `-- Files made for people to take away, in parts (base64), until they expire. '' is the one person of a server for one.
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
`,
  },
  {
    number: 9,
    name: 'allowance',
    engine: 'postgres',
    text: `-- How much each caller may still ask, for all processes together. It may be lost at any time, so it is not written ahead.
create unlogged table allowance (
  caller text primary key,
  tokens double precision not null,
  at double precision not null
);
`,
  },
  {
    number: 10,
    name: 'own_reminders',
    engine: undefined,
    text: `-- Where someone is signed in, told apart by the kind of device and by when it last asked (to the hour).
alter table session add column device text not null default 'program';
alter table session add column used bigint not null default 0;
update session set used = created;
-- A browser is told no more once the session it asked in is ended.
alter table push_subscription add column session text references session (secret) on delete cascade;
create index push_subscription_by_session on push_subscription (session);
-- When someone wants no messages, whatever is said of a tank; minutes after midnight. '' is the one person of a server
-- for one.
create table own_quiet_hours (
  account text primary key,
  zone text not null,
  from_minute integer not null,
  until_minute integer not null
);
-- A message waits as long as what it tells of stands, and is tried again later and later. What waited before does not
-- say what it tells of: that advice is found and noted anew.
delete from reminded where exists (
  select 1 from push_message m join push_subscription s on s.endpoint = m.endpoint
  where s.account = reminded.account and m.path = '/tank/' || reminded.tank);
delete from push_message;
alter table push_message add column account text not null default '';
alter table push_message add column tank text not null default '';
alter table push_message add column advice text not null default '';
alter table push_message add column tries integer not null default 0;
alter table push_message add column due bigint not null default 0;
`,
  },
  {
    number: 11,
    name: 'by_tank',
    engine: 'postgres',
    text: `-- Tables of tanks can be spread over several databases by tank, and there nothing is unique that does not begin with
-- the tank. Two secrets are never the same for being random; they are only looked for.
alter table probe drop constraint probe_secret_key;
create index probe_by_secret on probe (secret);
`,
  },
  {
    number: 12,
    name: 'kit_lore',
    engine: undefined,
    text: `-- The kits each tank was read with and how often (JSON), and what its keepers' other tanks showed of them when they were
-- last looked through. It can all be thrown away: the journals give it again.
create table kit_lore (
  tank text primary key,
  kits text not null,
  learnt text not null,
  learnt_at bigint not null
);
`,
  },
];
