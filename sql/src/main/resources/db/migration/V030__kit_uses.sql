-- Lets records name the items they were made with, and tells the kit keeper what does not agree; tells who moved an item.
-- Why: an item is traced through its uses, and only the record knows them; a record is never held up by the kit.

-- Whoever looks at an item asks the person who last had it; accounts are shown to nobody else.
create function kit.movers(p_site_id smallint, p_item_id uuid) returns table (version integer, title text, roles text[])
  language sql stable security definer set search_path = pg_catalog as $$
  select m.version, a.title, array(
    select g.role from access.role_grant g
    where g.actor_id = m.recorded_by and g.site_id = m.site_id and g.granted_at <= m.written_at
      and coalesce(g.ended_at > m.written_at, true) and coalesce(g.expires_at > m.written_at, true)
    order by g.role)
  from kit.move m join access.actor a on a.actor_id = m.recorded_by
  where m.site_id = p_site_id and m.item_id = p_item_id and m.site_id = any (access.scope())
$$;
comment on function kit.movers(smallint, uuid) is 'Who entered the moves of an item in scope, and the roles they had in the unit at that moment.';
revoke execute on all functions in schema kit from public;
grant execute on function kit.movers(smallint, uuid) to ${app};

-- What stands on the items that an attempt was made with, kept as it was typed.
alter table encounter.attempt
  add column kit_labels text[]
    constraint attempt_kit_labels_range check (cardinality(kit_labels) between 1 and 12
      and array_position(kit_labels, null) is null and char_length(array_to_string(kit_labels, '')) between 1 and 1200);
comment on column encounter.attempt.kit_labels is 'Labels of the items used. What stands on each traced item that was used in this attempt, as scanned or typed, one line each; kept as typed also where no such item is known. Nothing of a patient.';

-- A record names an item in whatever state it is: an emergency never blocks. It is named as used, or stays where it is.
alter table kit.move drop constraint move_move_codes, drop constraint move_named_as_done,
  drop constraint move_retired_is_final, drop constraint move_retired_by_two;
alter table kit.move
  add constraint move_move_codes check (move in ('new', 'ready', 'placed', 'opened', 'in_use', 'used', 'sent',
    'in_processing', 'returned', 'held', 'repair', 'missing', 'retired', 'undo', 'proposed', 'confirmed', 'named',
    'unnamed')),
  add constraint move_named_as_done check (move in ('undo', 'proposed', 'confirmed', 'named', 'unnamed')
    or move = to_state),
  add constraint move_named_by_record check (move not in ('named', 'unnamed') or encounter_id is not null),
  add constraint move_named_goes check (move not in ('named', 'unnamed') or from_state = to_state
    or (move = 'named' and to_state = 'used')),
  add constraint move_retired_is_final check (from_state <> 'retired' or (to_state = 'retired'
    and move in ('named', 'unnamed'))),
  add constraint move_retired_by_two check (to_state <> 'retired' or move = 'confirmed' or from_state = 'retired');
comment on column kit.move.move is 'What was done: the state it went into, or undo, proposed (by the first of two), confirmed (by the second), named or unnamed (by a record).';
create index move_of_record on kit.move (site_id, encounter_id) where encounter_id is not null;
comment on index kit.move_of_record is 'Serves the uses of one record.';

create view kit.use with (security_invoker = true) as
  select site_id, item_id, encounter_id, attempt_no, moved_at as used_at, version, move = 'named' as by_record
  from (
    select distinct on (site_id, item_id, encounter_id, attempt_no) *
    from kit.move where encounter_id is not null
    order by site_id, item_id, encounter_id, attempt_no, version desc) as last
  where move <> 'unnamed';
comment on view kit.use is 'Which item was used in which attempt of which record, as the records say now; version is the move that says so, by_record whether the record itself does.';
grant select on kit.use to ${app};

create table kit.discrepancy (
  site_id smallint not null,
  discrepancy_id uuid not null,
  version integer not null
    constraint discrepancy_version_range check (version between 1 and 2),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text not null
    constraint discrepancy_status_codes check (status in ('final', 'amended', 'entered-in-error')),
  encounter_id uuid not null,
  attempt_no smallint not null
    constraint discrepancy_attempt_no_range check (attempt_no between 1 and 99),
  kind text not null
    constraint discrepancy_kind_codes check (kind in ('item_unknown', 'state_odd', 'expired', 'used_twice',
      'processed_since', 'no_longer_named', 'kit_problem', 'recording')),
  told text not null
    constraint discrepancy_told_length check (char_length(told) between 1 and 100),
  item_id uuid,
  reason text
    constraint discrepancy_reason_length check (char_length(reason) between 1 and 300),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, discrepancy_id, version),
  constraint discrepancy_no_gap foreign key (site_id, discrepancy_id, previous)
    references kit.discrepancy (site_id, discrepancy_id, version),
  foreign key (site_id, encounter_id) references encounter.encounter,
  foreign key (site_id, item_id) references kit.item,
  constraint discrepancy_first_is_open check ((version = 1) = (status = 'final')),
  constraint discrepancy_closed_with_reason check ((status = 'amended') = (reason is not null))
);
comment on table kit.discrepancy is 'What a record and the log of the kit do not agree on, and what a record says that the kit keeper has to look into; with its end, if it has one.';
comment on column kit.discrepancy.site_id is 'The unit.';
comment on column kit.discrepancy.discrepancy_id is 'System-generated key, random.';
comment on column kit.discrepancy.version is '1 when it was raised, 2 when it ended.';
comment on column kit.discrepancy.previous is 'The version before, which must be there; null for the first.';
comment on column kit.discrepancy.status is 'Open (final), closed by somebody with a reason (amended), or ended because the record no longer says so (entered-in-error).';
comment on column kit.discrepancy.encounter_id is 'The record; nothing of the patient.';
comment on column kit.discrepancy.attempt_no is 'The attempt of that record.';
comment on column kit.discrepancy.kind is 'What it is about.';
comment on column kit.discrepancy.told is 'What the record says: the label as typed, or the code of the kit problem.';
comment on column kit.discrepancy.item_id is 'The item, where one is known.';
comment on column kit.discrepancy.reason is 'Why it was closed. Typed text: no names of people, nothing of patients; never leaves in an export.';
comment on column kit.discrepancy.recorded_by is 'Who recorded what raised it, or closed it.';
comment on column kit.discrepancy.written_at is 'When, by the clock of the database.';
comment on column kit.discrepancy.salt is 'Random; keeps the hash of the audit from being guessed.';
create index discrepancy_of_record on kit.discrepancy (site_id, encounter_id);
comment on index kit.discrepancy_of_record is 'Serves the discrepancies of one record.';

alter table kit.discrepancy enable row level security;
alter table kit.discrepancy force row level security;
create policy owner_all on kit.discrepancy to ${owner} using (true) with check (true);
create policy in_scope on kit.discrepancy to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select on kit.discrepancy to ${app};
grant insert (site_id, discrepancy_id, version, status, encounter_id, attempt_no, kind, told, item_id, reason)
  on kit.discrepancy to ${app};

alter table audit.entry drop constraint entry_object_codes, drop constraint entry_version_whole;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average',
    'table', 'kit_kind', 'kit_item', 'research_request', 'research_package', 'kit_discrepancy',
    'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_version_whole check (
    (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'kit_kind', 'kit_item',
      'research_request', 'kit_discrepancy'))
    = (site_id is not null and object_id is not null and version is not null and hash is not null));
comment on table audit.entry is 'Who did what to which record, change, review, aim, report, kept average, table, kind, item or discrepancy of the kit, request or package of research data, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';

create or replace function audit.note(p_action text, p_object text, p_site_id smallint, p_object_id uuid, p_about integer,
    p_reason text, p_detail jsonb) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  if p_object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'table', 'kit_kind', 'kit_item',
      'research_request', 'research_package', 'kit_discrepancy') then
    raise exception using errcode = '42501', message = 'versions write their own audit';
  end if;
  insert into audit.entry (actor_id, site_id, action, object, object_id, about, reason, detail)
  values (access.current_actor(), p_site_id, p_action, p_object, p_object_id, p_about, p_reason, p_detail);
end
$$;

create trigger discrepancy_stamp before insert on kit.discrepancy
  for each row execute function audit.stamp_version();
create trigger discrepancy_audit after insert on kit.discrepancy
  for each row execute function audit.record_row('kit_discrepancy', 'discrepancy_id');
