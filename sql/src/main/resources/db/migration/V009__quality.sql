-- Makes the counts of intubations that come from other sources than the registry, and an index for lists of records.
-- Why: what share of all intubations is recorded can only be told by a count that does not come from the records.
-- A pasted log is compared and forgotten: of it only these numbers are kept.
create schema quality;
comment on schema quality is 'How complete the register is, as far as it cannot be read from the records.';
grant usage on schema quality to ${app};

create table quality.independent_count (
  site_id smallint not null references access.site,
  month date not null
    constraint independent_count_month_first_day check (extract(day from month) = 1),
  count_no integer generated always as identity,
  counted smallint not null
    constraint independent_count_counted_range check (counted between 0 and 1000),
  matched smallint
    constraint independent_count_matched_range check (matched between 0 and counted),
  entered_at timestamptz not null default clock_timestamp(),
  entered_by integer not null default access.current_actor() references access.actor,
  primary key (site_id, month, count_no)
);
comment on table quality.independent_count is 'Intubations of a month by a source independent of the registry. The newest row of a month counts; earlier ones stay.';
comment on column quality.independent_count.site_id is 'The unit.';
comment on column quality.independent_count.month is 'First day of the month, in the zone of the unit.';
comment on column quality.independent_count.count_no is 'Order of entering; the highest of a month counts.';
comment on column quality.independent_count.counted is 'Intubations in that month by the other source (independent_intubation_count). Unit {encounters}.';
comment on column quality.independent_count.matched is 'Of a list: how many of its entries a record was found for; null where only a count was typed.';
comment on column quality.independent_count.entered_at is 'When it was entered, by the clock of the database.';
comment on column quality.independent_count.entered_by is 'Who entered it.';

alter table quality.independent_count enable row level security;
alter table quality.independent_count force row level security;
create policy owner_all on quality.independent_count to ${owner} using (true) with check (true);
create policy in_scope on quality.independent_count to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select on quality.independent_count to ${app};
grant insert (site_id, month, counted, matched) on quality.independent_count to ${app};

create index fact_started on analysis.fact (site_id, started_at, encounter_id);
comment on index analysis.fact_started is 'Serves lists of records, newest first, a page at a time.';
create index version_withdrawn on encounter.version (site_id, encounter_start, encounter_id)
  where status = 'entered-in-error';
comment on index encounter.version_withdrawn is 'Serves the list of withdrawn records.';
