-- Makes the kit: kinds of reusable items with what their makers say about reprocessing, the items, and the log of their
-- moves.
-- Why: whoever puts a blade on the trolley must know that it is clean, and whoever hears of a failed cycle must know where
-- the blade was since. So nothing about an item is edited: where it is and whether it is clean follows from its moves.
create schema kit;
comment on schema kit is 'Reusable items and the log of their moves.';
grant usage on schema kit to ${app};

create table kit.kind (
  site_id smallint not null references access.site,
  kind_id uuid not null,
  version integer not null
    constraint kind_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text not null
    constraint kind_status_codes check (status in ('final', 'amended')),
  title text not null
    constraint kind_title_length check (char_length(title) between 1 and 60),
  instructions text
    constraint kind_instructions_length check (char_length(instructions) between 1 and 300),
  cycle_limit smallint
    constraint kind_cycle_limit_range check (cycle_limit between 1 and 10000),
  least_ready smallint
    constraint kind_least_ready_range check (least_ready between 1 and 999),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, kind_id, version),
  constraint kind_no_gap foreign key (site_id, kind_id, previous) references kit.kind (site_id, kind_id, version),
  constraint kind_first_is_final check ((version = 1) = (status = 'final')),
  constraint kind_limit_is_cited check (cycle_limit is null or instructions is not null)
);
comment on table kit.kind is 'A kind of reusable item with its reprocessing profile, version by version; the highest version counts.';
comment on column kit.kind.site_id is 'The unit.';
comment on column kit.kind.kind_id is 'System-generated key of one kind, random.';
comment on column kit.kind.version is 'Counts from 1.';
comment on column kit.kind.previous is 'The version before, which must be there; null for the first.';
comment on column kit.kind.status is 'As first written (final), or put right (amended).';
comment on column kit.kind.title is 'What the unit calls it, with its size; no names of makers.';
comment on column kit.kind.instructions is 'Where the reprocessing instructions of the maker are found; without them no item of the kind is released.';
comment on column kit.kind.cycle_limit is 'How many cycles the maker allows; empty where the maker states none.';
comment on column kit.kind.least_ready is 'How many should be ready; empty where the unit sets no such number.';
comment on column kit.kind.recorded_by is 'Who wrote this version.';
comment on column kit.kind.written_at is 'When this version was written, by the clock of the database.';
comment on column kit.kind.salt is 'Random; keeps the hash of the audit from being guessed.';

create table kit.item (
  site_id smallint not null references access.site,
  item_id uuid not null,
  kind_id uuid not null,
  kind_version integer generated always as (1) stored,
  name text not null
    constraint item_name_form check (name ~ '^[!-~]([ -~]{0,28}[!-~])?$'),
  gtin text
    constraint item_gtin_form check (gtin ~ '^[0-9]{14}$'),
  serial text
    constraint item_serial_length check (char_length(serial) between 1 and 20),
  giai text
    constraint item_giai_length check (char_length(giai) between 1 and 30),
  cycles_before smallint not null
    constraint item_cycles_before_range check (cycles_before between 0 and 10000),
  primary key (site_id, item_id),
  foreign key (site_id, kind_id, kind_version) references kit.kind (site_id, kind_id, version),
  constraint item_name_unique unique (site_id, name),
  constraint item_serial_unique unique (site_id, gtin, serial),
  constraint item_giai_unique unique (site_id, giai),
  constraint item_gtin_with_serial check ((gtin is null) = (serial is null))
);
comment on table kit.item is 'A reusable item: one row for each thing one can hold. What happened to it stands in its moves.';
comment on column kit.item.site_id is 'The unit.';
comment on column kit.item.item_id is 'System-generated key of one item, random.';
comment on column kit.item.kind_id is 'Its kind.';
comment on column kit.item.kind_version is 'The first version of the kind, which must be there.';
comment on column kit.item.name is 'The label number on the item, as read: leading zeros count.';
comment on column kit.item.gtin is 'GTIN of its mark, 14 digits; only with a serial number is it one item.';
comment on column kit.item.serial is 'Serial number of its mark, as read.';
comment on column kit.item.giai is 'Asset number (GIAI) of its mark, as read.';
comment on column kit.item.cycles_before is 'How many cycles it had gone through before its first move here.';

create table kit.move (
  site_id smallint not null,
  item_id uuid not null,
  version integer not null
    constraint move_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text generated always as (case when version = 1 then 'final' else 'moved' end) stored,
  move text not null
    constraint move_move_codes check (move in ('new', 'ready', 'placed', 'opened', 'in_use', 'used', 'sent',
      'in_processing', 'returned', 'held', 'repair', 'missing', 'retired', 'undo', 'proposed', 'confirmed')),
  proposes text
    constraint move_proposes_codes check (proposes in ('ready', 'used', 'retired')),
  from_state text,
  to_state text not null
    constraint move_to_state_codes check (to_state in ('new', 'ready', 'placed', 'opened', 'in_use', 'used', 'sent',
      'in_processing', 'returned', 'held', 'repair', 'missing', 'retired')),
  moved_at timestamptz not null,
  place text
    constraint move_place_length check (char_length(place) between 1 and 60),
  label text
    constraint move_label_form check (label ~ '^[!-~]([ -~]{0,28}[!-~])?$'),
  destination text
    constraint move_destination_length check (char_length(destination) between 1 and 60),
  cycle text
    constraint move_cycle_form check (cycle ~ '^[!-~]([ -~]{0,38}[!-~])?$'),
  cycle_ended_at timestamptz,
  cycle_passed boolean,
  use_by date,
  pack_whole boolean,
  checked boolean,
  encounter_id uuid,
  attempt_no smallint
    constraint move_attempt_no_range check (attempt_no between 1 and 99),
  reason text
    constraint move_reason_length check (char_length(reason) between 1 and 300),
  proposed_by integer,
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, item_id, version),
  foreign key (site_id, item_id) references kit.item,
  foreign key (site_id, encounter_id) references encounter.encounter,
  constraint move_state_unique unique (site_id, item_id, version, to_state),
  constraint move_author_unique unique (site_id, item_id, version, recorded_by),
  constraint move_goes_on foreign key (site_id, item_id, previous, from_state)
    references kit.move (site_id, item_id, version, to_state),
  constraint move_first_is_new check ((version = 1) = (from_state is null) and (version > 1 or to_state = 'new')),
  constraint move_retired_is_final check (from_state <> 'retired'),
  constraint move_ready_from check (to_state <> 'ready' or from_state in ('new', 'ready', 'returned', 'placed')),
  constraint move_placed_from check (to_state <> 'placed' or from_state in ('ready', 'placed')),
  constraint move_opened_is_dirty check (from_state not in ('opened', 'in_use', 'used')
    or to_state not in ('new', 'ready', 'placed', 'in_processing', 'returned')),
  constraint move_proposal_stays check ((move = 'proposed') = (proposes is not null)
    and (move <> 'proposed' or from_state = to_state)),
  constraint move_of_two foreign key (site_id, item_id, previous, proposed_by)
    references kit.move (site_id, item_id, version, recorded_by),
  constraint move_two_are_two check (proposed_by <> recorded_by),
  constraint move_confirmed_has_two check ((move = 'confirmed') = (proposed_by is not null)),
  constraint move_retired_by_two check (to_state <> 'retired' or move = 'confirmed'),
  constraint move_released_by_two check (to_state <> 'ready' or from_state <> 'new' or move = 'confirmed'),
  constraint move_named_as_done check (move in ('undo', 'proposed', 'confirmed') or move = to_state),
  constraint move_cycle_whole check ((cycle is not null or cycle_passed is null)
    and (cycle_passed is not true or cycle_ended_at is not null)),
  constraint move_attempt_of_event check ((encounter_id is null) = (attempt_no is null))
);
comment on table kit.move is 'What happened to an item, move by move; nothing is changed, a mistake is put right by a further move.';
comment on column kit.move.site_id is 'The unit.';
comment on column kit.move.item_id is 'The item.';
comment on column kit.move.version is 'Counts from 1.';
comment on column kit.move.previous is 'The move before, which must be there; null for the first.';
comment on column kit.move.status is 'Entered (final), or moved.';
comment on column kit.move.move is 'What was done: the state it went into, or undo, proposed (by the first of two) or confirmed (by the second).';
comment on column kit.move.proposes is 'The state that the first of two people proposes.';
comment on column kit.move.from_state is 'The state before, which is the one that the move before led to.';
comment on column kit.move.to_state is 'The state after.';
comment on column kit.move.moved_at is 'When it was done, as told by whoever entered it.';
comment on column kit.move.place is 'Where it is since: trolley and drawer, shelf, box.';
comment on column kit.move.label is 'Number of the tracking label it travels under.';
comment on column kit.move.destination is 'Where it was sent.';
comment on column kit.move.cycle is 'Number of the processing cycle, as the washer, steriliser or service gives it.';
comment on column kit.move.cycle_ended_at is 'When the cycle ended.';
comment on column kit.move.cycle_passed is 'Whether the cycle passed.';
comment on column kit.move.use_by is 'Last day on which its pack may be used.';
comment on column kit.move.pack_whole is 'Whether the pack was seen to be whole.';
comment on column kit.move.checked is 'Whether inspection and the check of light or picture were passed.';
comment on column kit.move.encounter_id is 'The record it was used in; nothing of the patient.';
comment on column kit.move.attempt_no is 'The attempt of that record.';
comment on column kit.move.reason is 'Why, or the number of the repair. Typed text: no names of people, nothing of patients; never leaves in an export.';
comment on column kit.move.proposed_by is 'Who proposed what the second person confirms here: somebody else.';
comment on column kit.move.recorded_by is 'Who entered the move.';
comment on column kit.move.written_at is 'When it was entered, by the clock of the database.';
comment on column kit.move.salt is 'Random; keeps the hash of the audit from being guessed.';

do $$
declare
  v_table text;
begin
  foreach v_table in array '{kind,item,move}'::text[] loop
    execute format('alter table kit.%I enable row level security', v_table);
    execute format('alter table kit.%I force row level security', v_table);
    execute format('create policy owner_all on kit.%I to ${owner} using (true) with check (true)', v_table);
    execute format('create policy in_scope on kit.%I to ${app} using (site_id = any ((select access.scope())::smallint[])) '
      'with check (site_id = any ((select access.scope())::smallint[]))', v_table);
  end loop;
end
$$;
grant select on kit.kind, kit.item, kit.move to ${app};
grant insert (site_id, kind_id, version, status, title, instructions, cycle_limit, least_ready) on kit.kind to ${app};
grant insert (site_id, item_id, kind_id, name, gtin, serial, giai, cycles_before) on kit.item to ${app};
grant insert (site_id, item_id, version, move, proposes, from_state, to_state, moved_at, place, label, destination, cycle,
  cycle_ended_at, cycle_passed, use_by, pack_whole, checked, encounter_id, attempt_no, reason, proposed_by)
  on kit.move to ${app};

-- A move is neither an amendment nor a withdrawal: it has a word of its own in the audit.
alter table audit.entry drop constraint entry_object_codes, drop constraint entry_action_codes,
  drop constraint entry_version_whole;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average',
    'table', 'kit_kind', 'kit_item', 'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_action_codes check (action in ('recorded', 'amended', 'withdrawn', 'finalised', 'told', 'moved',
    'added', 'invited', 'joined', 'signed_in', 'refused', 'signed_out', 'granted', 'ended', 'disabled', 'enabled',
    'reset', 'revoked', 'set', 'kept', 'seen', 'found', 'erased', 'rotated', 'verified')),
  add constraint entry_version_whole check (
    (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'kit_kind', 'kit_item'))
    = (site_id is not null and object_id is not null and version is not null and hash is not null));
comment on table audit.entry is 'Who did what to which record, change, review, aim, report, kept average, table, kind or item of the kit, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';

-- What writes its own audit cannot be noted by hand; tables that were told neither.
create or replace function audit.note(p_action text, p_object text, p_site_id smallint, p_object_id uuid, p_about integer,
    p_reason text, p_detail jsonb) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  if p_object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'table', 'kit_kind', 'kit_item') then
    raise exception using errcode = '42501', message = 'versions write their own audit';
  end if;
  insert into audit.entry (actor_id, site_id, action, object, object_id, about, reason, detail)
  values (access.current_actor(), p_site_id, p_action, p_object, p_object_id, p_about, p_reason, p_detail);
end
$$;

create or replace function audit.action_of(p_object text, p_status text, p_version integer) returns text
  language sql immutable set search_path = pg_catalog as $$
  select case when p_object = 'report' and p_status = 'final' then 'finalised'
    when p_status = 'preliminary' then case when p_version = 1 then 'recorded' else 'amended' end
    when p_status = 'final' then 'recorded'
    when p_status in ('amended', 'moved') then p_status
    else 'withdrawn' end
$$;

create trigger kind_stamp before insert on kit.kind for each row execute function audit.stamp_version();
create trigger kind_audit after insert on kit.kind for each row execute function audit.record_row('kit_kind', 'kind_id');
create trigger move_stamp before insert on kit.move for each row execute function audit.stamp_version();
create trigger move_audit after insert on kit.move for each row execute function audit.record_row('kit_item', 'item_id');
