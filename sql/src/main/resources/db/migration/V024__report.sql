-- Makes the quarterly reports: what people wrote into one, version by version, and the numbers as they were when it was
-- made final.
-- Why: a report that was handed on must stay what it was. Until it is final its numbers are counted anew each time it is
-- looked at; from then on they are read from here, and what happened to the records since is told beside them.
create schema reports;
comment on schema reports is 'Quarterly reports of a unit.';
grant usage on schema reports to ${app};

create table reports.version (
  site_id smallint not null references access.site,
  report_id uuid not null,
  version integer not null
    constraint version_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  follows text generated always as (case when version > 1 then 'preliminary' end) stored,
  status text not null
    constraint version_status_codes check (status in ('preliminary', 'final')),
  quarter date not null
    constraint version_quarter_first_day check (extract(day from quarter) = 1 and extract(month from quarter) in (1, 4, 7, 10)),
  context text
    constraint version_context_length check (char_length(context) between 1 and 2000),
  learned text
    constraint version_learned_length check (char_length(learned) between 1 and 2000),
  next_steps text
    constraint version_next_steps_length check (char_length(next_steps) between 1 and 2000),
  asked_for text
    constraint version_asked_for_length check (char_length(asked_for) between 1 and 2000),
  read_with_care text
    constraint version_read_with_care_length check (char_length(read_with_care) between 1 and 2000),
  frozen jsonb,
  cut_off timestamptz,
  software text,
  seal_seq bigint,
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, report_id, version),
  constraint version_one_report_a_quarter unique (site_id, quarter, version),
  constraint version_status_of_one unique (site_id, report_id, version, status, quarter),
  constraint version_nothing_after_final foreign key (site_id, report_id, previous, follows, quarter)
    references reports.version (site_id, report_id, version, status, quarter),
  constraint version_final_is_frozen check ((status = 'final') = (frozen is not null)
    and (status = 'final') = (cut_off is not null) and (status = 'final') = (software is not null)),
  -- The day ends at most 14 hours earlier somewhere else than at Greenwich.
  constraint version_final_is_over check (
    cut_off at time zone 'UTC' >= quarter + interval '3 months' - interval '14 hours')
);
comment on table reports.version is 'What people wrote into the report of a quarter, version by version; the highest version counts, and nothing follows a final one.';
comment on column reports.version.site_id is 'The unit.';
comment on column reports.version.report_id is 'System-generated key of the report, random; the same in all versions.';
comment on column reports.version.version is 'Counts from 1.';
comment on column reports.version.previous is 'The version before, which must be there; null for the first.';
comment on column reports.version.follows is 'The status that the version before must have.';
comment on column reports.version.status is 'Still written (preliminary), or made final.';
comment on column reports.version.quarter is 'First day of the quarter, in the zone of the unit.';
comment on column reports.version.context is 'Why, and what a reader has to know of the unit. Typed text about practice: no names of people, nothing of patients; never leaves in a research export.';
comment on column reports.version.learned is 'What was learned. Typed text, as above.';
comment on column reports.version.next_steps is 'What will be done. Typed text, as above.';
comment on column reports.version.asked_for is 'Decisions asked of the board. Typed text, as above.';
comment on column reports.version.read_with_care is 'What else makes the numbers uncertain. Typed text, as above.';
comment on column reports.version.frozen is 'The numbers, sentences and drawings as they were when the report was made final.';
comment on column reports.version.cut_off is 'The moment at which the numbers of a final report were read.';
comment on column reports.version.software is 'Version of the software that made a final report.';
comment on column reports.version.seal_seq is 'The newest place in the chain over the audit when the report was made final; empty where nothing was sealed yet.';
comment on column reports.version.recorded_by is 'Who wrote this version.';
comment on column reports.version.written_at is 'When this version was written, by the clock of the database.';
comment on column reports.version.salt is 'Random; keeps the hash of the audit from being guessed.';

create table reports.counted (
  site_id smallint not null,
  report_id uuid not null,
  encounter_id uuid not null,
  encounter_version integer not null,
  in_quarter boolean not null,
  primary key (site_id, report_id, encounter_id),
  foreign key (site_id, encounter_id) references encounter.encounter
);
comment on table reports.counted is 'The records that the numbers of a final report rest on, as they were.';
comment on column reports.counted.site_id is 'The unit.';
comment on column reports.counted.report_id is 'The report.';
comment on column reports.counted.encounter_id is 'The record.';
comment on column reports.counted.encounter_version is 'Its version at that time.';
comment on column reports.counted.in_quarter is 'Whether it lay in the quarter itself; else in the two years up to its end.';

alter table reports.version enable row level security;
alter table reports.version force row level security;
create policy owner_all on reports.version to ${owner} using (true) with check (true);
create policy in_scope on reports.version to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
alter table reports.counted enable row level security;
alter table reports.counted force row level security;
create policy owner_all on reports.counted to ${owner} using (true) with check (true);
create policy in_scope on reports.counted to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select on reports.version, reports.counted to ${app};
grant insert (site_id, report_id, version, status, quarter, context, learned, next_steps, asked_for, read_with_care,
  frozen, cut_off, software, seal_seq) on reports.version to ${app};
grant insert (site_id, report_id, encounter_id, encounter_version, in_quarter) on reports.counted to ${app};

create view reports.correction with (security_invoker = true) as
  select c.site_id, c.report_id, c.in_quarter,
         case when f.encounter_id is null then 'withdrawn' else 'amended' end as kind
  from reports.counted c
  left join analysis.fact f on (f.site_id, f.encounter_id) = (c.site_id, c.encounter_id)
  where f.version is distinct from c.encounter_version
  union all
  select f.site_id, v.report_id, f.month >= v.quarter, 'added'
  from reports.version v
  join analysis.fact f on f.site_id = v.site_id
    and f.month >= v.quarter - interval '21 months' and f.month < v.quarter + interval '3 months'
  where v.status = 'final'
    and not exists (select from reports.counted c
      where (c.site_id, c.report_id, c.encounter_id) = (v.site_id, v.report_id, f.encounter_id));
comment on view reports.correction is 'What happened since a report was made final to the records it rests on, and which came later.';
grant select on reports.correction to ${app};

-- How far the chain over the audit had come: a number that tells nothing of what is in it.
create function audit.newest_seal() returns bigint
  language sql stable security definer set search_path = pg_catalog as $$
  select max(seq) from audit.seal
$$;
comment on function audit.newest_seal() is 'The newest place in the chain; null while nothing is sealed.';
revoke execute on function audit.newest_seal() from public;
grant execute on function audit.newest_seal() to ${app};

-- A report is not amended once it is final: its last version has a word of its own in the audit.
alter table audit.entry drop constraint entry_object_codes, drop constraint entry_action_codes,
  drop constraint entry_version_whole;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim', 'report',
    'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_action_codes check (action in ('recorded', 'amended', 'withdrawn', 'finalised',
    'added', 'invited', 'joined', 'signed_in', 'refused', 'signed_out', 'granted', 'ended', 'disabled', 'enabled',
    'reset', 'revoked', 'set', 'kept', 'seen', 'found', 'erased', 'rotated', 'verified')),
  add constraint entry_version_whole check (
    (object in ('encounter', 'change', 'review', 'aim', 'report'))
    = (site_id is not null and object_id is not null and version is not null and hash is not null));
comment on table audit.entry is 'Who did what to which record, change, review, aim, report, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';

create function audit.action_of(p_object text, p_status text, p_version integer) returns text
  language sql immutable set search_path = pg_catalog as $$
  select case when p_object = 'report' and p_status = 'final' then 'finalised'
    when p_status = 'preliminary' then case when p_version = 1 then 'recorded' else 'amended' end
    when p_status = 'final' then 'recorded'
    when p_status = 'amended' then 'amended'
    else 'withdrawn' end
$$;
comment on function audit.action_of(text, text, integer) is 'What was done to a thing when a version of it was written.';
revoke execute on function audit.action_of(text, text, integer) from public;
grant execute on function audit.action_of(text, text, integer) to ${app};

create or replace function audit.record_row() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  insert into audit.entry (actor_id, site_id, action, object, object_id, version, hash)
  values (new.recorded_by, new.site_id, audit.action_of(tg_argv[0], new.status, new.version),
    tg_argv[0], (to_jsonb(new) ->> tg_argv[1])::uuid, new.version, audit.row_hash(new));
  return null;
end
$$;

create trigger version_stamp before insert on reports.version
  for each row execute function audit.stamp_version();
create trigger version_audit after insert on reports.version
  for each row execute function audit.record_row('report', 'report_id');
