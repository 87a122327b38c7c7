-- Tables of tanks can be spread over several databases by tank, and there nothing is unique that does not begin with
-- the tank. Two secrets are never the same for being random; they are only looked for.
alter table probe drop constraint probe_secret_key;
create index probe_by_secret on probe (secret);
