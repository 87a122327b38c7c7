-- Where someone is signed in, told apart by the kind of device and by when it last asked (to the hour).
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
