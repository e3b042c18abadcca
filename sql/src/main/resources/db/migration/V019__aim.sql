-- Makes the aim of a unit, version by version: one sentence, and the measures that tell how it goes.
-- Why: an improvement is judged by an outcome, by whether the work was done, and by what may have got worse meanwhile; all
-- three stand on one page, and what was aimed at before stays readable.
alter table audit.entry drop constraint entry_object_codes;
alter table audit.entry add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim'));

create schema aims;
comment on schema aims is 'What a unit wants to improve.';
grant usage on schema aims to ${app};

create table aims.version (
  site_id smallint not null references access.site,
  aim_id uuid not null,
  version integer not null
    constraint version_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text not null
    constraint version_status_codes check (status in ('final', 'amended')),
  sentence text not null
    constraint version_sentence_length check (char_length(sentence) between 1 and 200),
  outcome text not null,
  process text[] not null
    constraint version_process_size check (cardinality(process) <= 3),
  balancing text[] not null
    constraint version_balancing_size check (cardinality(balancing) <= 3),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, version),
  constraint version_no_gap foreign key (site_id, previous) references aims.version (site_id, version),
  constraint version_first_is_final check ((version = 1) = (status = 'final'))
);
comment on table aims.version is 'The aim of a unit, version by version; the highest version counts.';
comment on column aims.version.site_id is 'The unit.';
comment on column aims.version.aim_id is 'System-generated key of the aim, random; the same in all versions.';
comment on column aims.version.version is 'Counts from 1.';
comment on column aims.version.previous is 'The version before, which must be there; null for the first.';
comment on column aims.version.status is 'As first written (final), or written anew (amended).';
comment on column aims.version.sentence is 'The aim in a sentence. Typed text about practice: no names of people, nothing of patients; never leaves in a research export.';
comment on column aims.version.outcome is 'The measure that is to change.';
comment on column aims.version.process is 'Measures that tell whether the work is done.';
comment on column aims.version.balancing is 'Measures that tell whether something else gets worse.';
comment on column aims.version.recorded_by is 'Who wrote this version.';
comment on column aims.version.written_at is 'When this version was written, by the clock of the database.';
comment on column aims.version.salt is 'Random; keeps the hash of the audit from being guessed.';

alter table aims.version enable row level security;
alter table aims.version force row level security;
create policy owner_all on aims.version to ${owner} using (true) with check (true);
create policy in_scope on aims.version to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select on aims.version to ${app};
grant insert (site_id, aim_id, version, status, sentence, outcome, process, balancing) on aims.version to ${app};

create trigger version_stamp before insert on aims.version
  for each row execute function audit.stamp_version();
create trigger version_audit after insert on aims.version
  for each row execute function audit.record_row('aim', 'aim_id');
