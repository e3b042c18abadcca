-- Makes the list of what a unit changed and when, version by version, and lets the audit hold more than records.
-- Why: charts are cut before and after a change of practice, so when it was and how often that was put right must stay
-- readable. A new version is added, nothing is overwritten, and no version can be skipped.
alter table audit.entry rename column encounter_id to object_id;
alter table audit.entry
  add column object text not null default 'encounter'
    constraint entry_object_codes check (object in ('encounter', 'change'));
comment on column audit.entry.object is 'What kind of thing it was done to.';
comment on column audit.entry.object_id is 'The thing: a record, or a change.';
comment on table audit.entry is 'Who did what to which record or change, and when.';
comment on column audit.entry.site_id is 'The unit of the thing.';
comment on column audit.entry.hash is 'SHA-256 over the salted tree or row of the version.';

create or replace function audit.record_version() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  insert into audit.entry (actor_id, site_id, action, object_id, version, hash)
  values (new.recorded_by, new.site_id,
    case new.status when 'final' then 'recorded' when 'amended' then 'amended' else 'withdrawn' end,
    new.encounter_id, new.version, audit.tree_hash(new.site_id, new.encounter_id, new.version));
  return null;
end
$$;

-- For things whose version is one row. Empty answers are dropped before hashing, as for the tree of a record.
create function audit.row_hash(p_row anyelement) returns bytea
  language sql stable set search_path = pg_catalog set timezone = 'UTC' as $$
  select sha256(convert_to(jsonb_strip_nulls(to_jsonb(p_row))::text, 'UTF8'))
$$;
comment on function audit.row_hash(anyelement) is 'Hash of a row with its salt.';

create function audit.record_row() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  insert into audit.entry (actor_id, site_id, action, object, object_id, version, hash)
  values (new.recorded_by, new.site_id,
    case new.status when 'final' then 'recorded' when 'amended' then 'amended' else 'withdrawn' end,
    tg_argv[0], (to_jsonb(new) ->> tg_argv[1])::uuid, new.version, audit.row_hash(new));
  return null;
end
$$;
comment on function audit.record_row() is 'Writes the audit row of a version that is one row: its kind, and the column that is its key.';

create schema changes;
comment on schema changes is 'What a unit changed in its practice, and when.';
grant usage on schema changes to ${app};

create table changes.version (
  site_id smallint not null references access.site,
  change_id uuid not null,
  version integer not null
    constraint version_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text not null
    constraint version_status_codes check (status in ('final', 'amended', 'entered-in-error')),
  changed_on date not null
    constraint version_changed_on_range check (changed_on >= '1950-01-01'),
  name text not null
    constraint version_name_length check (char_length(name) between 1 and 60),
  reason text not null
    constraint version_reason_length check (char_length(reason) between 1 and 500),
  cuts_chart boolean not null,
  reason_code text
    constraint version_reason_code_codes check (reason_code in (
      'mistyped', 'added_later', 'known_better', 'duplicate', 'did_not_happen', 'test_entry', 'other')),
  reason_text text
    constraint version_reason_text_length check (char_length(reason_text) between 1 and 500),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, change_id, version),
  constraint version_no_gap foreign key (site_id, change_id, previous) references changes.version (site_id, change_id, version),
  constraint version_first_is_final check ((version = 1) = (status = 'final')),
  constraint version_reason_given check ((version = 1) = (reason_code is null)),
  constraint version_reason_text_with_code check (reason_text is null or reason_code is not null)
);
comment on table changes.version is 'A change of practice, version by version; the highest version counts.';
comment on column changes.version.site_id is 'The unit.';
comment on column changes.version.change_id is 'System-generated key of one change, random.';
comment on column changes.version.version is 'Counts from 1.';
comment on column changes.version.previous is 'The version before, which must be there; null for the first.';
comment on column changes.version.status is 'As first written (final), put right (amended), or withdrawn (entered-in-error).';
comment on column changes.version.changed_on is 'The first day of the new practice, in the zone of the unit.';
comment on column changes.version.name is 'What was changed, in a few words. Typed text about practice: no names of people, nothing of patients; never leaves in a research export.';
comment on column changes.version.reason is 'Why it was changed. Typed text about practice: no names of people, nothing of patients; never leaves in a research export.';
comment on column changes.version.cuts_chart is 'Whether charts begin a new phase on that day, or only carry a note.';
comment on column changes.version.reason_code is 'Why this version was made; empty for the first.';
comment on column changes.version.reason_text is 'More about why this version was made. Typed text, as above; never leaves in an export.';
comment on column changes.version.recorded_by is 'Who wrote this version.';
comment on column changes.version.written_at is 'When this version was written, by the clock of the database.';
comment on column changes.version.salt is 'Random; keeps the hash of the audit from being guessed.';

alter table changes.version enable row level security;
alter table changes.version force row level security;
create policy owner_all on changes.version to ${owner} using (true) with check (true);
create policy in_scope on changes.version to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select on changes.version to ${app};
grant insert (site_id, change_id, version, status, changed_on, name, reason, cuts_chart, reason_code, reason_text)
  on changes.version to ${app};

create trigger version_stamp before insert on changes.version
  for each row execute function audit.stamp_version();
create trigger version_audit after insert on changes.version
  for each row execute function audit.record_row('change', 'change_id');
revoke execute on function audit.row_hash(anyelement), audit.record_row() from public;
grant execute on function audit.row_hash(anyelement) to ${app};
