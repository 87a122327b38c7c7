-- A tank's line of the rounds, taken from its answer once, so that a thousand of them need not be read out of whole
-- answers. Answers kept before are reckoned anew.
delete from answer;
alter table answer add column round text not null default '';
