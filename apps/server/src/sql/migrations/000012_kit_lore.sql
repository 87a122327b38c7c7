-- The kits each tank was read with and how often (JSON), and what its keepers' other tanks showed of them when they were
-- last looked through. It can all be thrown away: the journals give it again.
create table kit_lore (
  tank text primary key,
  kits text not null,
  learnt text not null,
  learnt_at bigint not null
);
