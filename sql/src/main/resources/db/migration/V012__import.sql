-- Keeps the mappings of imports.
-- Why: a source is imported again and again, and what its columns mean is worked out once. A mapping that was used is
-- never changed: saving it again makes the next version, and the newest counts.
create schema imports;
comment on schema imports is 'What the columns of tables mean that old records are taken from.';
grant usage on schema imports to ${app};

create table imports.mapping (
  site_id smallint not null references access.site,
  source text not null
    constraint mapping_source_length check (char_length(source) between 1 and 80),
  version integer not null
    constraint mapping_version_range check (version >= 1),
  body text not null
    constraint mapping_body_length check (octet_length(body) between 2 and 1048576),
  saved_at timestamptz not null default clock_timestamp(),
  saved_by integer not null default access.current_actor() references access.actor,
  primary key (site_id, source, version)
);
comment on table imports.mapping is 'What the columns of a source mean, version by version; the newest counts.';
comment on column imports.mapping.site_id is 'The unit that the records belong to.';
comment on column imports.mapping.source is 'Short name of the source, as the mapping says it.';
comment on column imports.mapping.version is 'Counts from 1.';
comment on column imports.mapping.body is 'The mapping as it was typed or sent, JSON.';
comment on column imports.mapping.saved_at is 'When this version was saved, by the clock of the database.';
comment on column imports.mapping.saved_by is 'Who saved this version.';
alter table imports.mapping enable row level security;
alter table imports.mapping force row level security;
create policy owner_all on imports.mapping to ${owner} using (true) with check (true);
create policy in_scope on imports.mapping to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select, insert on imports.mapping to ${app};
