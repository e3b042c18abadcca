-- Makes the reviews of cases, and what the list of cases needs to know of records.
-- Why: rare harm is looked at case by case before it is counted. Which cases there are is asked of the fact rows, so no
-- list has to be kept in step; kept is only what a team has written, version by version.
alter table audit.entry drop constraint entry_object_codes;
alter table audit.entry add constraint entry_object_codes check (object in ('encounter', 'change', 'review'));
comment on column audit.entry.object_id is 'The thing: a record, a change, or the record that is reviewed.';
comment on table audit.entry is 'Who did what to which record, change or review, and when.';

create schema reviews;
comment on schema reviews is 'What a unit learnt from single cases.';
grant usage on schema reviews to ${app};

create table reviews.version (
  site_id smallint not null,
  encounter_id uuid not null,
  version integer not null
    constraint version_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text not null
    constraint version_status_codes check (status in ('final', 'amended')),
  contributed text[] not null
    constraint version_contributed_codes check (contributed <@ array['preparation', 'positioning', 'equipment', 'drugs',
      'team', 'communication', 'anatomy', 'physiology', 'nothing_found']),
  learning_point text
    constraint version_learning_point_length check (char_length(learning_point) between 1 and 500),
  action text
    constraint version_action_length check (char_length(action) between 1 and 500),
  due_on date
    constraint version_due_on_range check (due_on between '2000-01-01' and '2100-12-31'),
  done boolean not null,
  reason_code text
    constraint version_reason_code_codes check (reason_code in ('went_on', 'mistyped', 'known_better', 'other')),
  reason_text text
    constraint version_reason_text_length check (char_length(reason_text) between 1 and 500),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, encounter_id, version),
  foreign key (site_id, encounter_id) references encounter.encounter (site_id, encounter_id),
  constraint version_no_gap foreign key (site_id, encounter_id, previous)
    references reviews.version (site_id, encounter_id, version),
  constraint version_first_is_final check ((version = 1) = (status = 'final')),
  constraint version_nothing_found_alone check (not 'nothing_found' = any (contributed) or cardinality(contributed) = 1),
  constraint version_due_with_action check (due_on is null or action is not null),
  constraint version_done_says_what check (not done or cardinality(contributed) > 0),
  constraint version_reason_given check ((version = 1) = (reason_code is null)),
  constraint version_reason_text_with_code check (reason_text is null or reason_code is not null)
);
comment on table reviews.version is 'What was written about a case, version by version; the highest version counts.';
comment on column reviews.version.site_id is 'The unit.';
comment on column reviews.version.encounter_id is 'The record that is reviewed.';
comment on column reviews.version.version is 'Counts from 1.';
comment on column reviews.version.previous is 'The version before, which must be there; null for the first.';
comment on column reviews.version.status is 'As first written (final), or a further version (amended).';
comment on column reviews.version.contributed is 'What contributed; nothing_found stands alone, and empty is not said yet.';
comment on column reviews.version.learning_point is 'What is to be learnt. Typed text about practice: no names of people, nothing of patients; never leaves in an export.';
comment on column reviews.version.action is 'What is to be done. Typed text about practice, as above; never leaves in an export.';
comment on column reviews.version.due_on is 'The day by which it is to be done, in the zone of the unit.';
comment on column reviews.version.done is 'Whether the review and what came of it are done.';
comment on column reviews.version.reason_code is 'Why this version was made; empty for the first.';
comment on column reviews.version.reason_text is 'More about why this version was made. Typed text, as above; never leaves in an export.';
comment on column reviews.version.recorded_by is 'Who wrote this version.';
comment on column reviews.version.written_at is 'When this version was written, by the clock of the database.';
comment on column reviews.version.salt is 'Random; keeps the hash of the audit from being guessed.';

alter table reviews.version enable row level security;
alter table reviews.version force row level security;
create policy owner_all on reviews.version to ${owner} using (true) with check (true);
create policy in_scope on reviews.version to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select on reviews.version to ${app};
grant insert (site_id, encounter_id, version, status, contributed, learning_point, action, due_on, done, reason_code, reason_text)
  on reviews.version to ${app};

create trigger version_stamp before insert on reviews.version
  for each row execute function audit.stamp_version();
create trigger version_audit after insert on reviews.version
  for each row execute function audit.record_row('review', 'encounter_id');

-- What a list has to know of every version of a record, withdrawn or not: when it was, and whether it counts.
create view analysis.start with (security_invoker = true) as
  select v.site_id, v.encounter_id, v.version, v.encounter_start as started_at,
         coalesce(v.encounter_start_precision, 'minute') as precision, v.status = 'entered-in-error' as withdrawn,
         v.version = e.current_version as current
  from encounter.version v join encounter.encounter e using (site_id, encounter_id);
comment on view analysis.start is 'When each version of each record says that it was, and whether that version counts.';
grant select on analysis.start to ${app};

create index fact_reviewed on analysis.fact (site_id, started_at, encounter_id)
  where ae_severe_c = 1 or attempts_3plus = 1;
comment on index analysis.fact_reviewed is 'Serves the list of cases to review: rare rows among many.';
