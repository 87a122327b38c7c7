-- Where browsers want to be told what is due, as they gave it. '' is the one person of a server for one.
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
