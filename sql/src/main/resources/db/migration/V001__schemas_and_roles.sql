-- Makes the schemas, one per room of the house, and the role the application signs in with.
-- Why: the application owns nothing; it may do what is granted table by table, and sees only the units in its scope.
do $$
begin
  if not exists (select from pg_catalog.pg_roles where rolname = '${app}') then
    create role ${app} nologin;
  end if;
end
$$;

create schema access;
create schema encounter;
create schema audit;
create schema analysis;
comment on schema access is 'Who may do what: units and people.';
comment on schema encounter is 'The record of each intubation, version by version.';
comment on schema audit is 'What was done to records, by whom and when; written by triggers alone.';
comment on schema analysis is 'What charts, comparisons and exports read: one narrow row per encounter.';

grant usage on schema access, encounter, audit, analysis to ${app};
