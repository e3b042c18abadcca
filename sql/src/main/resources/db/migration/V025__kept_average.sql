-- Makes the averages that a unit keeps for its charts, version by version: the counts of each point as they stood on the day.
-- Why: an average by which later points are judged must not move when a record of its period is put right. Which records it
-- was taken from is kept by key and version, so that what changed since can be told exactly.
create schema charts;
comment on schema charts is 'What charts are judged by.';
grant usage on schema charts to ${app};

create table charts.kept_average (
  site_id smallint not null references access.site,
  kept_id uuid not null,
  version integer not null
    constraint kept_average_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text not null
    constraint kept_average_status_codes check (status in ('final', 'amended', 'entered-in-error')),
  measure text not null,
  scheme text,
  span text not null
    constraint kept_average_span_codes check (span in ('month', 'quarter', 'year')),
  filters jsonb not null
    constraint kept_average_filters_object check (jsonb_typeof(filters) = 'object'),
  from_month date not null
    constraint kept_average_from_month_first check (extract(day from from_month) = 1),
  to_month date not null
    constraint kept_average_to_month_first check (extract(day from to_month) = 1),
  starts date[] not null
    constraint kept_average_starts_size check (cardinality(starts) >= 10),
  xs bigint[] not null,
  ns bigint[] not null,
  middles double precision[] not null,
  encounter_ids uuid[] not null,
  encounter_versions integer[] not null,
  reason text not null
    constraint kept_average_reason_length check (char_length(reason) between 1 and 500),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, kept_id, version),
  constraint kept_average_no_gap foreign key (site_id, kept_id, previous)
    references charts.kept_average (site_id, kept_id, version),
  constraint kept_average_first_is_final check ((version = 1) = (status = 'final')),
  constraint kept_average_period_order check (from_month <= to_month),
  constraint kept_average_points_alike check (cardinality(xs) = cardinality(starts)
    and cardinality(ns) = cardinality(starts) and cardinality(middles) = cardinality(starts)),
  constraint kept_average_records_alike check (cardinality(encounter_versions) = cardinality(encounter_ids))
);
create unique index kept_average_once on charts.kept_average (site_id, measure, scheme, span, filters)
  nulls not distinct where version = 1;
comment on index charts.kept_average_once is 'A question of a chart has one average that is kept; keeping it anew makes a version of it.';
comment on table charts.kept_average is 'An average kept for a chart of a unit, version by version; the highest version counts.';
comment on column charts.kept_average.site_id is 'The unit.';
comment on column charts.kept_average.kept_id is 'System-generated key of one kept average, random.';
comment on column charts.kept_average.version is 'Counts from 1.';
comment on column charts.kept_average.previous is 'The version before, which must be there; null for the first.';
comment on column charts.kept_average.status is 'As first kept (final), kept anew (amended), or withdrawn (entered-in-error).';
comment on column charts.kept_average.measure is 'The measure of the chart.';
comment on column charts.kept_average.scheme is 'The scheme of severity that decides; null where none does.';
comment on column charts.kept_average.span is 'What one point stands for.';
comment on column charts.kept_average.filters is 'The filters of the chart: codes by variable, in order; empty for none.';
comment on column charts.kept_average.from_month is 'First month of the period it was taken from.';
comment on column charts.kept_average.to_month is 'Last month of the period, included.';
comment on column charts.kept_average.starts is 'First month of each point of the period.';
comment on column charts.kept_average.xs is 'Encounters with the outcome, or events, by point; 0 for values.';
comment on column charts.kept_average.ns is 'Encounters that counted, by point.';
comment on column charts.kept_average.middles is 'What was plotted, by point: fraction, events per encounter, or median of values; null without a case.';
comment on column charts.kept_average.encounter_ids is 'The records of the period that the filters let through, also those that did not count.';
comment on column charts.kept_average.encounter_versions is 'The version of each of these records that was counted.';
comment on column charts.kept_average.reason is 'Why this period was chosen, or why it was withdrawn. Typed text about practice: no names of people, nothing of patients; never leaves in a research export.';
comment on column charts.kept_average.recorded_by is 'Who wrote this version.';
comment on column charts.kept_average.written_at is 'When this version was written, by the clock of the database.';
comment on column charts.kept_average.salt is 'Random; keeps the hash of the audit from being guessed.';

alter table charts.kept_average enable row level security;
alter table charts.kept_average force row level security;
create policy owner_all on charts.kept_average to ${owner} using (true) with check (true);
create policy in_scope on charts.kept_average to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select on charts.kept_average to ${app};
grant insert (site_id, kept_id, version, status, measure, scheme, span, filters, from_month, to_month, starts, xs, ns, middles,
  encounter_ids, encounter_versions, reason) on charts.kept_average to ${app};

create trigger version_stamp before insert on charts.kept_average
  for each row execute function audit.stamp_version();
create trigger version_audit after insert on charts.kept_average
  for each row execute function audit.record_row('kept_average', 'kept_id');

alter table audit.entry drop constraint entry_object_codes, drop constraint entry_version_whole;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average',
    'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_version_whole check (
    (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average'))
    = (site_id is not null and object_id is not null and version is not null and hash is not null));
comment on table audit.entry is 'Who did what to which record, change, review, aim, report, kept average, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';

create or replace function audit.note(p_action text, p_object text, p_site_id smallint, p_object_id uuid, p_about integer,
    p_reason text, p_detail jsonb) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  if p_object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average') then
    raise exception using errcode = '42501', message = 'versions write their own audit';
  end if;
  insert into audit.entry (actor_id, site_id, action, object, object_id, about, reason, detail)
  values (access.current_actor(), p_site_id, p_action, p_object, p_object_id, p_about, p_reason, p_detail);
end
$$;
