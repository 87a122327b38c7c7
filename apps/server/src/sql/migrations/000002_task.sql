-- Slow work still to be done: at most one of a kind for a subject. `wanted` counts how often it was asked for, so
-- that a wish made while the work is under way is not lost; a worker that dies lets go when `held_until` has passed.
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
