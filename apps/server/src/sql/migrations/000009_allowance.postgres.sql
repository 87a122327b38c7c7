-- How much each caller may still ask, for all processes together. It may be lost at any time, so it is not written ahead.
create unlogged table allowance (
  caller text primary key,
  tokens double precision not null,
  at double precision not null
);
