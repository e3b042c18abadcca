-- Makes single-use stock: lots of a kind, and the log of what came, was used, thrown away or counted.
-- Why: whoever orders must know what is left and what runs out, and whoever hears of a recall must know which records
-- used the lot. A record is never refused: what is used although the books say that none is left makes the books negative,
-- and is told.

alter table kit.kind
  add column profile text
    constraint kind_profile_codes check (profile in ('wiped', 'single_use')),
  add constraint kind_single_use_has_no_cycles check (profile is distinct from 'single_use' or cycle_limit is null);
comment on column kit.kind.profile is 'How one of the kind is made ready again: empty for a cycle of cleaning and disinfection or sterilization; wiped: wiped between patients, where its maker says that this is enough; single_use: never, it is counted by lot.';
grant insert (profile) on kit.kind to ${app};

-- Wiping is a cycle of its own kind, told with when and by what: it ends what a use made dirty, as any cycle that passed.
alter table kit.move drop constraint move_move_codes, drop constraint move_named_as_done, drop constraint move_opened_is_dirty;
alter table kit.move
  add constraint move_move_codes check (move in ('new', 'ready', 'placed', 'opened', 'in_use', 'used', 'sent',
    'in_processing', 'returned', 'held', 'repair', 'missing', 'retired', 'undo', 'proposed', 'confirmed', 'named',
    'unnamed', 'wiped')),
  add constraint move_named_as_done check (move in ('undo', 'proposed', 'confirmed', 'named', 'unnamed', 'wiped')
    or move = to_state),
  add constraint move_opened_is_dirty check (from_state not in ('opened', 'in_use', 'used')
    or to_state not in ('new', 'ready', 'placed', 'in_processing', 'returned') or move = 'wiped'),
  add constraint move_wiped_is_a_cycle check (move <> 'wiped' or (to_state = 'returned'
    and from_state in ('opened', 'used') and cycle is not null and cycle_passed));
comment on column kit.move.move is 'What was done: the state it went into, or undo, proposed (by the first of two), confirmed (by the second), named or unnamed (by a record), or wiped (and to be checked).';

create table kit.lot (
  site_id smallint not null references access.site,
  lot_id uuid not null,
  kind_id uuid not null,
  kind_version integer generated always as (1) stored,
  lot text not null
    constraint lot_lot_form check (lot ~ '^[!-~]([ -~]{0,18}[!-~])?$'),
  gtin text
    constraint lot_gtin_form check (gtin ~ '^[0-9]{14}$'),
  use_by date,
  primary key (site_id, lot_id),
  foreign key (site_id, kind_id, kind_version) references kit.kind (site_id, kind_id, version),
  constraint lot_of_kind_unique unique (site_id, kind_id, lot),
  constraint lot_of_gtin_unique unique (site_id, gtin, lot)
);
comment on table kit.lot is 'A lot of a single-use kind. How many are left stands in its log.';
comment on column kit.lot.site_id is 'The unit.';
comment on column kit.lot.lot_id is 'System-generated key of one lot, random.';
comment on column kit.lot.kind_id is 'Its kind.';
comment on column kit.lot.kind_version is 'The first version of the kind, which must be there.';
comment on column kit.lot.lot is 'The lot number as it stands on the pack: leading zeros count.';
comment on column kit.lot.gtin is 'GTIN of its pack, 14 digits, where it is known.';
comment on column kit.lot.use_by is 'The last day on which it may be used; empty where the pack states none.';

create table kit.stock (
  site_id smallint not null,
  lot_id uuid not null,
  version integer not null
    constraint stock_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text generated always as (case when version = 1 then 'final' else 'moved' end) stored,
  move text not null
    constraint stock_move_codes check (move in ('received', 'used', 'unused', 'discarded', 'counted')),
  before integer not null,
  change integer not null
    constraint stock_change_range check (change between -10000 and 10000),
  in_stock integer generated always as (before + change) stored,
  moved_at timestamptz not null,
  encounter_id uuid,
  attempt_no smallint
    constraint stock_attempt_no_range check (attempt_no between 1 and 99),
  reason text
    constraint stock_reason_length check (char_length(reason) between 1 and 300),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, lot_id, version),
  foreign key (site_id, lot_id) references kit.lot,
  foreign key (site_id, encounter_id) references encounter.encounter,
  constraint stock_left_unique unique (site_id, lot_id, version, in_stock),
  constraint stock_goes_on foreign key (site_id, lot_id, previous, before)
    references kit.stock (site_id, lot_id, version, in_stock),
  constraint stock_begins_with_what_came check (version > 1 or (move = 'received' and before = 0)),
  constraint stock_change_as_done check (case move when 'received' then change > 0 when 'unused' then change > 0
    when 'counted' then before + change >= 0 else change < 0 end),
  constraint stock_used_by_record check ((move in ('used', 'unused')) = (encounter_id is not null)
    and (encounter_id is null) = (attempt_no is null)),
  constraint stock_discarded_with_reason check (move <> 'discarded' or reason is not null)
);
comment on table kit.stock is 'What came of a lot, was used, thrown away or counted, line by line; nothing is changed, a mistake is put right by counting.';
comment on column kit.stock.site_id is 'The unit.';
comment on column kit.stock.lot_id is 'The lot.';
comment on column kit.stock.version is 'Counts from 1.';
comment on column kit.stock.previous is 'The line before, which must be there; null for the first.';
comment on column kit.stock.status is 'The first line (final), or a later one (moved).';
comment on column kit.stock.move is 'What was done: received, used by a record, no longer used by it (unused), discarded, or counted.';
comment on column kit.stock.before is 'How many there were by the line before.';
comment on column kit.stock.change is 'How many came (above 0) or went (below 0).';
comment on column kit.stock.in_stock is 'How many there are by this line; below 0 when records used more than came.';
comment on column kit.stock.moved_at is 'When, as told by whoever entered it.';
comment on column kit.stock.encounter_id is 'The record it was used in; nothing of the patient.';
comment on column kit.stock.attempt_no is 'The attempt of that record.';
comment on column kit.stock.reason is 'Why. Typed text: no names of people, nothing of patients; never leaves in an export.';
comment on column kit.stock.recorded_by is 'Who entered it, or recorded the use.';
comment on column kit.stock.written_at is 'When it was entered, by the clock of the database.';
comment on column kit.stock.salt is 'Random; keeps the hash of the audit from being guessed.';
create index stock_of_record on kit.stock (site_id, encounter_id) where encounter_id is not null;
comment on index kit.stock_of_record is 'Serves the lots of one record.';

do $$
declare
  v_table text;
begin
  foreach v_table in array '{lot,stock}'::text[] loop
    execute format('alter table kit.%I enable row level security', v_table);
    execute format('alter table kit.%I force row level security', v_table);
    execute format('create policy owner_all on kit.%I to ${owner} using (true) with check (true)', v_table);
    execute format('create policy in_scope on kit.%I to ${app} using (site_id = any ((select access.scope())::smallint[])) '
      'with check (site_id = any ((select access.scope())::smallint[]))', v_table);
  end loop;
end
$$;
grant select on kit.lot, kit.stock to ${app};
grant insert (site_id, lot_id, kind_id, lot, gtin, use_by) on kit.lot to ${app};
grant insert (site_id, lot_id, version, move, before, change, moved_at, encounter_id, attempt_no, reason)
  on kit.stock to ${app};

create view kit.lot_left with (security_invoker = true) as
  select l.site_id, l.lot_id, l.kind_id, l.lot, l.gtin, l.use_by, s.version, s.in_stock
  from kit.lot l
  join lateral (
    select x.version, x.in_stock from kit.stock x
    where (x.site_id, x.lot_id) = (l.site_id, l.lot_id) order by x.version desc limit 1) s on true;
comment on view kit.lot_left is 'The lots, how many are left, and the last line that says so.';
grant select on kit.lot_left to ${app};

create view kit.lot_use with (security_invoker = true) as
  select s.site_id, s.lot_id, s.encounter_id, s.attempt_no, (-sum(s.change))::integer as units,
         max(s.moved_at) as used_at, max(s.version) as version,
         bool_or(s.move = 'used' and s.written_at > s.moved_at + interval '30 minutes') as late
  from kit.stock s
  where s.encounter_id is not null
  group by s.site_id, s.lot_id, s.encounter_id, s.attempt_no
  having sum(s.change) < 0;
comment on view kit.lot_use is 'How many of a lot were used in which attempt of which record, as the records say now.';
grant select on kit.lot_use to ${app};

-- A label that named nothing can be said to be an item or a lot when its line is closed.
alter table kit.discrepancy drop constraint discrepancy_kind_codes;
alter table kit.discrepancy
  add column lot_id uuid,
  add foreign key (site_id, lot_id) references kit.lot,
  add constraint discrepancy_kind_codes check (kind in ('item_unknown', 'state_odd', 'expired', 'used_twice',
    'processed_since', 'no_longer_named', 'kit_problem', 'recording', 'stock_none')),
  add constraint discrepancy_item_or_lot check (item_id is null or lot_id is null);
comment on column kit.discrepancy.item_id is 'The item, where one is known; in a line that closes a label that named nothing, the item it was.';
comment on column kit.discrepancy.lot_id is 'The lot, where one is known; in a line that closes a label that named nothing, the lot it was.';
grant insert (lot_id) on kit.discrepancy to ${app};

alter table audit.entry drop constraint entry_object_codes, drop constraint entry_version_whole;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average',
    'table', 'kit_kind', 'kit_item', 'research_request', 'research_package', 'kit_discrepancy', 'kit_trolley', 'kit_check',
    'kit_lot', 'look_back',
    'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_version_whole check (
    (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'kit_kind', 'kit_item',
      'research_request', 'kit_discrepancy', 'kit_trolley', 'kit_check', 'kit_lot'))
    = (site_id is not null and object_id is not null and version is not null and hash is not null));
comment on table audit.entry is 'Who did what to which record, change, review, aim, report, kept average, table, kind, item, lot or discrepancy of the kit, trolley, check, look-back, request or package of research data, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';

create or replace function audit.note(p_action text, p_object text, p_site_id smallint, p_object_id uuid, p_about integer,
    p_reason text, p_detail jsonb) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  if p_object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'table', 'kit_kind', 'kit_item',
      'research_request', 'research_package', 'kit_discrepancy', 'kit_trolley', 'kit_check', 'kit_lot') then
    raise exception using errcode = '42501', message = 'versions write their own audit';
  end if;
  insert into audit.entry (actor_id, site_id, action, object, object_id, about, reason, detail)
  values (access.current_actor(), p_site_id, p_action, p_object, p_object_id, p_about, p_reason, p_detail);
end
$$;

create trigger stock_stamp before insert on kit.stock for each row execute function audit.stamp_version();
create trigger stock_audit after insert on kit.stock
  for each row execute function audit.record_row('kit_lot', 'lot_id');
