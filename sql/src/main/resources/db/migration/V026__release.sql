-- Makes the list of tables of counts that were told to somebody outside the circle that may read the records.
-- Why: two tables, each harmless, may give a small number away by their difference. So every table that was told is
-- remembered for good, as it was told, and a new one is held against all of them.
alter table audit.entry drop constraint entry_object_codes, drop constraint entry_action_codes;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average',
    'table', 'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_action_codes check (action in ('recorded', 'amended', 'withdrawn', 'finalised', 'told',
    'added', 'invited', 'joined', 'signed_in', 'refused', 'signed_out', 'granted', 'ended', 'disabled', 'enabled',
    'reset', 'revoked', 'set', 'kept', 'seen', 'found', 'erased', 'rotated', 'verified'));
comment on table audit.entry is 'Who did what to which record, change, review, aim, report, kept average, table, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';

create schema release;
comment on schema release is 'What left the unit.';
grant usage on schema release to ${app};

create table release.told_table (
  site_id smallint not null references access.site,
  table_id uuid not null,
  measure text not null,
  scheme text
    constraint told_table_scheme_codes check (scheme in ('A', 'B', 'C')),
  by_variable text not null,
  first_month date not null,
  last_month date not null,
  filters jsonb not null
    constraint told_table_filters_object check (jsonb_typeof(filters) = 'object'),
  audience text not null
    constraint told_table_audience_codes check (audience in ('inside', 'outside')),
  recipient text not null
    constraint told_table_recipient_length check (char_length(recipient) between 1 and 120),
  purpose text not null
    constraint told_table_purpose_length check (char_length(purpose) between 1 and 500),
  lines jsonb not null
    constraint told_table_lines_array check (jsonb_typeof(lines) = 'array'),
  n integer not null
    constraint told_table_n_range check (n >= 1),
  x integer
    constraint told_table_x_range check (x between 0 and n),
  told_by integer not null default access.current_actor() references access.actor,
  told_at timestamptz not null default clock_timestamp(),
  primary key (site_id, table_id),
  constraint told_table_period_order check (first_month <= last_month)
);
comment on table release.told_table is 'A table of counts as it was told. Never changed and never taken back: what was told stays known.';
comment on column release.told_table.site_id is 'The unit.';
comment on column release.told_table.table_id is 'System-generated key, random.';
comment on column release.told_table.measure is 'The measure that was counted.';
comment on column release.told_table.scheme is 'The scheme of severity that decided; none where none does.';
comment on column release.told_table.by_variable is 'What the lines stand for: a variable, quarter or year.';
comment on column release.told_table.first_month is 'First month of the period.';
comment on column release.told_table.last_month is 'Last month of the period, inclusive.';
comment on column release.told_table.filters is 'Codes by variable; several codes of one variable mean any of them.';
comment on column release.told_table.audience is 'Whether it stays in the organisation or leaves it.';
comment on column release.told_table.recipient is 'Who was told. Typed text about an organisation; never leaves in an export.';
comment on column release.told_table.purpose is 'What for. Typed text about practice, nothing of patients; never leaves in an export.';
comment on column release.told_table.lines is 'The lines: codes, cases, and those with the outcome, null where hidden.';
comment on column release.told_table.n is 'Cases in all.';
comment on column release.told_table.x is 'Cases with the outcome in all; null where hidden.';
comment on column release.told_table.told_by is 'Who told it.';
comment on column release.told_table.told_at is 'When, by the clock of the database.';

alter table release.told_table enable row level security;
alter table release.told_table force row level security;
create policy owner_all on release.told_table to ${owner} using (true) with check (true);
create policy in_scope on release.told_table to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select on release.told_table to ${app};
grant insert (site_id, table_id, measure, scheme, by_variable, first_month, last_month, filters, audience, recipient,
  purpose, lines, n, x) on release.told_table to ${app};

-- No table is told without a line in the audit, whatever the program does.
create function audit.table_told() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  insert into audit.entry (actor_id, site_id, action, object, object_id, reason, detail)
  values (new.told_by, new.site_id, 'told', 'table', new.table_id, new.purpose,
    jsonb_build_object('measure', new.measure, 'by', new.by_variable, 'audience', new.audience));
  return null;
end
$$;
comment on function audit.table_told() is 'Writes the audit line of a table that was told.';
create trigger told_table_audit after insert on release.told_table
  for each row execute function audit.table_told();
revoke execute on function audit.table_told() from public;
