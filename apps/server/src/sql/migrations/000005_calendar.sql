-- Secret addresses of calendar feeds, one a person; '' is the one person of a server for one.
create table calendar (
  account text primary key,
  secret text not null unique,
  created bigint not null
);
