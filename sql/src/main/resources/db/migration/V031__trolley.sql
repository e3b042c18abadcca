-- Makes the trolleys: what should lie in which drawer, their checks and seals, where each item is now, and the look-back.
-- Why: whoever runs to a child must know that the trolley is whole, and who looked. A check is a record: it is never
-- changed, only put right by a later one. What should lie there and what was found are one row each, so that one hash
-- in the audit covers the whole of it.

create function kit.slots_fit(p_slots jsonb) returns boolean
  language sql immutable parallel safe set search_path = pg_catalog as $$
  select jsonb_typeof(p_slots) = 'array' and jsonb_array_length(p_slots) between 1 and 60
    and not exists (
      select from jsonb_array_elements(p_slots) s
      where jsonb_typeof(s -> 'drawer') is distinct from 'string' or jsonb_typeof(s -> 'title') is distinct from 'string'
        or jsonb_typeof(s -> 'wanted') is distinct from 'number' or jsonb_typeof(s -> 'least') is distinct from 'number'
        or jsonb_typeof(s -> 'dated') is distinct from 'boolean'
        or not (s ->> 'wanted')::int between 1 and 99 or not (s ->> 'least')::int between 0 and (s ->> 'wanted')::int)
$$;
comment on function kit.slots_fit(jsonb) is 'Whether each slot has a drawer, a title, how many are wanted, how many at least, and whether they are dated.';

create function kit.lines_fit(p_lines jsonb) returns boolean
  language sql immutable parallel safe set search_path = pg_catalog as $$
  select jsonb_typeof(p_lines) = 'array' and jsonb_array_length(p_lines) between 1 and 60
    and not exists (
      select from jsonb_array_elements(p_lines) with ordinality as l (line, no)
      where jsonb_typeof(line -> 'slot') is distinct from 'number' or (line ->> 'slot')::int <> no
        or jsonb_typeof(line -> 'found') is distinct from 'number' or not (line ->> 'found')::int between 0 and 99
        or (line ->> 'use_by')::text !~ '^\d{4}-\d\d-\d\d$')
$$;
comment on function kit.lines_fit(jsonb) is 'Whether the lines of a check tell of each slot in order how many were found.';

create table kit.trolley (
  site_id smallint not null references access.site,
  trolley_id uuid not null,
  version integer not null
    constraint trolley_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text not null
    constraint trolley_status_codes check (status in ('final', 'amended')),
  title text not null
    constraint trolley_title_form check (char_length(title) between 1 and 40 and title !~ ','),
  in_use boolean not null,
  due_at time not null,
  check_days smallint not null
    constraint trolley_check_days_range check (check_days between 1 and 31),
  full_days smallint not null
    constraint trolley_full_days_range check (full_days between 1 and 92),
  light boolean not null,
  battery_least smallint
    constraint trolley_battery_least_range check (battery_least between 1 and 100),
  recorder boolean not null,
  slots jsonb not null
    constraint trolley_slots_form check (kit.slots_fit(slots)),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, trolley_id, version),
  constraint trolley_no_gap foreign key (site_id, trolley_id, previous)
    references kit.trolley (site_id, trolley_id, version),
  constraint trolley_first_is_final check ((version = 1) = (status = 'final')),
  constraint trolley_full_not_oftener check (full_days >= check_days)
);
comment on table kit.trolley is 'A trolley and what should lie in it, version by version; the highest version counts.';
comment on column kit.trolley.site_id is 'The unit.';
comment on column kit.trolley.trolley_id is 'System-generated key of one trolley, random.';
comment on column kit.trolley.version is 'Counts from 1.';
comment on column kit.trolley.previous is 'The version before, which must be there; null for the first.';
comment on column kit.trolley.status is 'As first written (final), or put right (amended).';
comment on column kit.trolley.title is 'What the unit calls it; the place of an item on it begins with this.';
comment on column kit.trolley.in_use is 'Whether it is in use; one that is not is neither checked nor counted.';
comment on column kit.trolley.due_at is 'By when of the day a check is due, in the time zone of the unit.';
comment on column kit.trolley.check_days is 'A check is due on this many days after the last one.';
comment on column kit.trolley.full_days is 'A full check is due on this many days after the last full one.';
comment on column kit.trolley.light is 'Whether light or picture is tried at each check.';
comment on column kit.trolley.battery_least is 'Charge in percent below which it is not ready; empty where there is no battery to read.';
comment on column kit.trolley.recorder is 'Whether a device on it records: memory and recordings are asked.';
comment on column kit.trolley.slots is 'What should lie where: drawer, title, kind where it is a kind of the kit, how many wanted, how many at least, dated or not.';
comment on column kit.trolley.recorded_by is 'Who wrote this version.';
comment on column kit.trolley.written_at is 'When this version was written, by the clock of the database.';
comment on column kit.trolley.salt is 'Random; keeps the hash of the audit from being guessed.';

create table kit.trolley_check (
  site_id smallint not null,
  trolley_id uuid not null,
  version integer not null
    constraint check_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  status text not null
    constraint check_status_codes check (status in ('final', 'amended', 'withdrawn')),
  corrects integer
    constraint check_corrects_earlier check (corrects < version),
  trolley_version integer not null,
  kind text not null
    constraint check_kind_codes check (kind in ('full', 'short', 'opened')),
  checked_at timestamptz not null,
  seal_found text
    constraint check_seal_found_codes check (seal_found in ('whole', 'broken', 'none')),
  seal_read text
    constraint check_seal_read_form check (seal_read ~ '^[!-~]([ -~]{0,28}[!-~])?$'),
  seal_applied text
    constraint check_seal_applied_form check (seal_applied ~ '^[!-~]([ -~]{0,28}[!-~])?$'),
  lines jsonb
    constraint check_lines_form check (kit.lines_fit(lines)),
  light boolean,
  battery smallint
    constraint check_battery_range check (battery between 0 and 100),
  memory_free boolean,
  recordings text
    constraint check_recordings_codes check (recordings in ('none', 'on_device', 'copied', 'verified', 'cleared')),
  note text
    constraint check_note_length check (char_length(note) between 1 and 300),
  reason text
    constraint check_reason_length check (char_length(reason) between 1 and 300),
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, trolley_id, version),
  constraint check_no_gap foreign key (site_id, trolley_id, previous)
    references kit.trolley_check (site_id, trolley_id, version),
  constraint check_of_trolley foreign key (site_id, trolley_id, trolley_version)
    references kit.trolley (site_id, trolley_id, version),
  constraint check_corrects_one foreign key (site_id, trolley_id, corrects)
    references kit.trolley_check (site_id, trolley_id, version),
  constraint check_corrected_once unique (site_id, trolley_id, corrects),
  constraint check_correction_says_why check ((status = 'final') = (corrects is null)
    and (corrects is null) = (reason is null)),
  constraint check_full_tells_all check (status = 'withdrawn' or (kind = 'full') = (lines is not null)),
  constraint check_seal_told check (status = 'withdrawn' or (kind = 'opened') = (seal_found is null)),
  constraint check_seal_on_after_full check (seal_applied is null or (kind = 'full' and status <> 'withdrawn')),
  constraint check_withdrawn_is_empty check (status <> 'withdrawn' or (seal_found is null and seal_read is null
    and lines is null and light is null and battery is null and memory_free is null and recordings is null
    and note is null))
);
comment on table kit.trolley_check is 'What was found at a check of a trolley, or that it was opened; nothing is changed, a mistake is put right by a later row.';
comment on column kit.trolley_check.site_id is 'The unit.';
comment on column kit.trolley_check.trolley_id is 'The trolley.';
comment on column kit.trolley_check.version is 'Counts from 1 for each trolley.';
comment on column kit.trolley_check.previous is 'The row before, which must be there; null for the first.';
comment on column kit.trolley_check.status is 'As first written (final), in place of an earlier one (amended), or taking one back (withdrawn).';
comment on column kit.trolley_check.corrects is 'The check that this one stands for instead.';
comment on column kit.trolley_check.trolley_version is 'What should have lain there at the time.';
comment on column kit.trolley_check.kind is 'Full: every slot looked at. Short: seal whole and its number read. Opened: somebody broke the seal.';
comment on column kit.trolley_check.checked_at is 'When, as told by whoever entered it.';
comment on column kit.trolley_check.seal_found is 'How the seal was found; none where there was none.';
comment on column kit.trolley_check.seal_read is 'Number read on the seal that was found.';
comment on column kit.trolley_check.seal_applied is 'Number of the new seal; empty where none was put on.';
comment on column kit.trolley_check.lines is 'Of each slot how many were found, and the earliest use-by day among them.';
comment on column kit.trolley_check.light is 'Whether light or picture worked.';
comment on column kit.trolley_check.battery is 'Charge as read, in percent.';
comment on column kit.trolley_check.memory_free is 'Whether the memory has room for the next recording.';
comment on column kit.trolley_check.recordings is 'What was done about recordings; the recordings themselves are never here.';
comment on column kit.trolley_check.note is 'What else was seen. Typed text: no names of people, nothing of patients; never leaves in an export.';
comment on column kit.trolley_check.reason is 'Why an earlier check is put right or taken back.';
comment on column kit.trolley_check.recorded_by is 'Who entered it.';
comment on column kit.trolley_check.written_at is 'When it was entered, by the clock of the database.';
comment on column kit.trolley_check.salt is 'Random; keeps the hash of the audit from being guessed.';

do $$
declare
  v_table text;
begin
  foreach v_table in array '{trolley,trolley_check}'::text[] loop
    execute format('alter table kit.%I enable row level security', v_table);
    execute format('alter table kit.%I force row level security', v_table);
    execute format('create policy owner_all on kit.%I to ${owner} using (true) with check (true)', v_table);
    execute format('create policy in_scope on kit.%I to ${app} using (site_id = any ((select access.scope())::smallint[])) '
      'with check (site_id = any ((select access.scope())::smallint[]))', v_table);
  end loop;
end
$$;
grant select on kit.trolley, kit.trolley_check to ${app};
grant insert (site_id, trolley_id, version, status, title, in_use, due_at, check_days, full_days, light, battery_least,
  recorder, slots) on kit.trolley to ${app};
grant insert (site_id, trolley_id, version, status, corrects, trolley_version, kind, checked_at, seal_found, seal_read,
  seal_applied, lines, light, battery, memory_free, recordings, note, reason) on kit.trolley_check to ${app};

-- The checks that count: neither put right by a later one nor taken back.
create view kit.standing_check with (security_invoker = true) as
  select c.* from kit.trolley_check c
  where c.status <> 'withdrawn' and not exists (
    select from kit.trolley_check later
    where (later.site_id, later.trolley_id, later.corrects) = (c.site_id, c.trolley_id, c.version));
comment on view kit.standing_check is 'The checks that count.';
grant select on kit.standing_check to ${app};

-- The moves that count: a move that was taken back and the one that took it back do not, nor does a proposal, nor what a
-- record says of an item that stays where it is.
create view kit.step with (security_invoker = true) as
  select site_id, item_id, version, to_state, moved_at, place, label, destination, cycle, cycle_ended_at,
         coalesce(cycle is not null and cycle_passed and cycle_ended_at is not null
           and (to_state = 'returned' or (to_state = 'ready' and from_state = 'new')), false) as passed,
         use_by, encounter_id, attempt_no, written_at
  from (
    select m.*, lead(m.move) over (partition by m.site_id, m.item_id order by m.version) as next_move from kit.move m
  ) m
  where move not in ('undo', 'proposed') and next_move is distinct from 'undo'
    and not (move in ('named', 'unnamed') and from_state = to_state);
comment on view kit.step is 'The moves that count, those taken back left out; passed: a cycle that passed was told with it.';
grant select on kit.step to ${app};

-- What touched whom, as it is told last: moved by hand, or named by the record itself.
create view kit.touch with (security_invoker = true) as
  select m.site_id, m.item_id, m.version, m.moved_at, m.encounter_id, m.attempt_no, m.written_at
  from kit.move m
  where m.move in ('in_use', 'named') and (m.encounter_id is null or not exists (
    select from kit.move later
    where (later.site_id, later.item_id, later.encounter_id, later.attempt_no)
        = (m.site_id, m.item_id, m.encounter_id, m.attempt_no)
      and later.version > m.version and later.move in ('named', 'unnamed')));
comment on view kit.touch is 'Uses of items: each use of a record once, as it was told last and unless it was taken out.';
grant select on kit.touch to ${app};

create view kit.standing with (security_invoker = true) as
  select s.site_id, s.item_id,
         (array_agg(s.to_state order by s.version desc))[1] as state,
         (array_agg(s.moved_at order by s.version desc))[1] as since,
         (array_agg(case when s.to_state = 'sent' then coalesce(s.place, s.destination) else s.place end
            order by s.version desc)
            filter (where s.to_state <> 'missing' and (s.to_state <> 'in_processing' or s.place is not null)))[1] as place,
         case when (array_agg(s.to_state order by s.version desc))[1] in ('sent', 'in_processing')
            then (array_agg(s.label order by s.version desc) filter (where s.to_state = 'sent'))[1] end as label,
         (array_agg(s.use_by order by s.version desc) filter (where s.use_by is not null
            and s.to_state not in ('opened', 'in_use', 'used', 'missing')))[1] as use_by,
         (count(*) filter (where s.passed))::int as cycles
  from kit.step s
  group by s.site_id, s.item_id;
comment on view kit.standing is 'Where each item is now and since when, its tracking label while it is away, the last day of its pack, and its cycles.';
grant select on kit.standing to ${app};

-- A look-back is no version of anything: it is noted, as a look at a hospital number is.
alter table audit.entry drop constraint entry_object_codes, drop constraint entry_version_whole;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average',
    'table', 'kit_kind', 'kit_item', 'research_request', 'research_package', 'kit_discrepancy', 'kit_trolley', 'kit_check',
    'look_back',
    'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_version_whole check (
    (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'kit_kind', 'kit_item',
      'research_request', 'kit_discrepancy', 'kit_trolley', 'kit_check'))
    = (site_id is not null and object_id is not null and version is not null and hash is not null));
comment on table audit.entry is 'Who did what to which record, change, review, aim, report, kept average, table, kind, item or discrepancy of the kit, trolley, check, look-back, request or package of research data, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';

create or replace function audit.note(p_action text, p_object text, p_site_id smallint, p_object_id uuid, p_about integer,
    p_reason text, p_detail jsonb) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  if p_object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'table', 'kit_kind', 'kit_item',
      'research_request', 'research_package', 'kit_discrepancy', 'kit_trolley', 'kit_check') then
    raise exception using errcode = '42501', message = 'versions write their own audit';
  end if;
  insert into audit.entry (actor_id, site_id, action, object, object_id, about, reason, detail)
  values (access.current_actor(), p_site_id, p_action, p_object, p_object_id, p_about, p_reason, p_detail);
end
$$;

create trigger trolley_stamp before insert on kit.trolley for each row execute function audit.stamp_version();
create trigger trolley_audit after insert on kit.trolley
  for each row execute function audit.record_row('kit_trolley', 'trolley_id');
create trigger check_stamp before insert on kit.trolley_check for each row execute function audit.stamp_version();
create trigger check_audit after insert on kit.trolley_check
  for each row execute function audit.record_row('kit_check', 'trolley_id');

-- What an item touched after a line of its log, and before it. A use counts as after when it was entered later, or told
-- for the same minute or a later one; a cycle parts two uses only when it lies between them by the log and by the time
-- told. So a use that was told late is rather shown than missed. Both sides are one relation, read from either end.
create function kit.touched(p_site_id smallint, p_items uuid[], p_versions integer[], p_but_cycle text, p_cycles integer)
  returns table (side text, item_id uuid, start_version integer, version integer, used_at timestamptz, encounter_id uuid,
    attempt_no smallint, cycles integer, uncertain boolean)
  language sql stable set search_path = pg_catalog set enable_nestloop = off as $$
  with start as (
    select m.item_id, m.version, m.moved_at from unnest(p_items, p_versions) s (item_id, version)
    join kit.move m on (m.site_id, m.item_id, m.version) = (p_site_id, s.item_id, s.version)
  ), used as materialized (
    select t.* from kit.touch t where t.site_id = p_site_id and t.item_id = any (p_items)
  ), passed as materialized (
    select l.item_id, l.version, l.moved_at from kit.step l
    where l.site_id = p_site_id and l.item_id = any (p_items) and l.passed
      and (p_but_cycle is null or l.cycle is distinct from p_but_cycle)
  ), pair as (
    select 'after' as side, b.version as start_version, b.version as first, u.version as last, u.moved_at as until, u.*
    from start b join used u using (item_id)
    where u.version <> b.version and (u.version > b.version or u.moved_at >= b.moved_at)
    union all
    select 'before', b.version, u.version, b.version, b.moved_at, u.*
    from start b join used u using (item_id)
    where u.version <> b.version and (b.version > u.version or b.moved_at >= u.moved_at)
  )
  select p.side, p.item_id, p.start_version, p.version, p.moved_at, p.encounter_id, p.attempt_no, count(c.version)::int,
         p.written_at > p.moved_at + interval '30 minutes' or p.first > p.last
  from pair p
  left join passed c on c.item_id = p.item_id and c.version > p.first and c.version < p.last and c.moved_at <= p.until
  group by p.side, p.item_id, p.start_version, p.version, p.first, p.last, p.moved_at, p.encounter_id, p.attempt_no,
    p.written_at
  having p_cycles is null or count(c.version) < p_cycles
$$;
comment on function kit.touched(smallint, uuid[], integer[], text, integer) is 'Uses of items before and after lines of their logs, with the cycles that passed in between, fewer than so many.';

-- Who looks back at children comes by a grant for three days, from somebody else.
create function access.limit_look_back() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  if new.role = 'look_back_reader' then
    if new.granted_by = new.actor_id then
      raise exception using errcode = '23514', constraint = 'role_grant_look_back_by_another',
        message = 'nobody gives the look-back to themselves';
    end if;
    -- One that has ended by itself makes room for the next.
    update access.role_grant g set ended_at = g.expires_at
    where g.actor_id = new.actor_id and g.role = new.role and g.site_id = new.site_id and g.ended_at is null
      and g.expires_at <= now();
    new.expires_at := least(new.expires_at, new.granted_at + interval '72 hours');
  end if;
  return new;
end
$$;
comment on function access.limit_look_back() is 'Ends a look-back grant after 72 hours, and refuses one that somebody gives to themselves.';
create trigger role_grant_look_back before insert on access.role_grant
  for each row execute function access.limit_look_back();
update access.role_grant set expires_at = least(expires_at, now() + interval '72 hours')
  where role = 'look_back_reader' and ended_at is null;

-- The measures of the kit, each defined here and nowhere else: they are of days, items and attempts, not of encounters, so
-- they have no column in the fact row.
create function kit.trolley_days(p_site_id smallint, p_from date, p_to date)
  returns table (day date, trolleys integer, on_time boolean, ready boolean)
  language sql stable set search_path = pg_catalog as $$
  with zoned as (
    select d.day::date as day, s.zone
    from access.site s cross join generate_series(p_from::timestamp, p_to::timestamp, interval '1 day') d (day)
    where s.site_id = p_site_id
  ), due as (
    select z.day, t.trolley_id, t.check_days, t.full_days, t.slots, t.light, t.battery_least, t.recorder, z.zone,
           (z.day + t.due_at) at time zone z.zone as moment
    from zoned z cross join lateral (
      select distinct on (v.trolley_id) v.* from kit.trolley v
      where v.site_id = p_site_id and v.written_at <= (z.day + v.due_at) at time zone z.zone
      order by v.trolley_id, v.version desc) t
    where t.in_use
  ), judged as (
    select d.day,
           coalesce((l.checked_at at time zone d.zone)::date + d.check_days > d.day
             and (f.checked_at at time zone d.zone)::date + d.full_days > d.day, false) as on_time,
           coalesce(f.slots = d.slots
             and not exists (
               select from jsonb_array_elements(f.lines) with ordinality as x (line, no)
               join jsonb_array_elements(f.slots) with ordinality as y (slot, no) using (no)
               where (line ->> 'found')::int < (slot ->> 'least')::int
                  or ((line ->> 'found')::int > 0 and (slot ->> 'least')::int > 0 and (line ->> 'use_by')::date < d.day))
             and not exists (
               select from kit.standing_check o
               where o.site_id = p_site_id and o.trolley_id = d.trolley_id and o.checked_at <= d.moment
                 and (o.checked_at, o.version) > (f.checked_at, f.version)
                 and (o.kind = 'opened' or o.seal_found <> 'whole' or o.seal_read is distinct from f.seal_applied))
             and (not d.light or f.light) and (d.battery_least is null or l.battery >= d.battery_least)
             and (not d.recorder or l.memory_free), false) as found_ready
    from due d
    left join lateral (
      select c.checked_at, c.version, c.lines, c.light, c.seal_applied, t.slots
      from kit.standing_check c join kit.trolley t
        on (t.site_id, t.trolley_id, t.version) = (c.site_id, c.trolley_id, c.trolley_version)
      where c.site_id = p_site_id and c.trolley_id = d.trolley_id and c.kind = 'full' and c.checked_at <= d.moment
      order by c.checked_at desc, c.version desc limit 1) f on true
    left join lateral (
      select c.checked_at, c.battery, c.memory_free from kit.standing_check c
      where c.site_id = p_site_id and c.trolley_id = d.trolley_id and c.kind <> 'opened' and c.checked_at <= d.moment
      order by c.checked_at desc, c.version desc limit 1) l on true
  )
  select j.day, count(*)::int, bool_and(j.on_time), bool_and(j.on_time and j.found_ready)
  from judged j group by j.day order by j.day
$$;
comment on function kit.trolley_days(smallint, date, date) is 'Of each calendar day of the unit with a trolley in use: whether just after the due time no trolley was overdue for a check, and was last found ready. Not checking is never ready; where its items went since is not looked at.';

create view kit.away with (security_invoker = true) as
  select s.site_id, s.item_id, s.version, s.moved_at as sent_at, n.moved_at as ended_at, n.to_state as ended_by
  from kit.step s
  left join lateral (
    select x.moved_at, x.to_state from kit.step x
    where (x.site_id, x.item_id) = (s.site_id, s.item_id) and x.version > s.version
      and x.to_state in ('ready', 'placed', 'sent', 'used', 'opened', 'in_use', 'missing', 'repair', 'retired')
    order by x.version limit 1) n on true
  where s.to_state = 'sent';
comment on view kit.away is 'Each sending of an item, and when and how that ended: ready or placed again, or otherwise, which only says that it was away so long; no end while it is away.';
grant select on kit.away to ${app};

create view kit.reusable_use with (security_invoker = true) as
  select v.site_id, v.encounter_id, a.attempt_no, v.encounter_start as started_at,
         exists (select from kit.touch t
           where (t.site_id, t.encounter_id, t.attempt_no) = (a.site_id, a.encounter_id, a.attempt_no)) as traced
  from encounter.encounter e
  join encounter.version v on (v.site_id, v.encounter_id, v.version) = (e.site_id, e.encounter_id, e.current_version)
  join encounter.attempt a on (a.site_id, a.encounter_id, a.version) = (v.site_id, v.encounter_id, v.version)
  join encounter.device_setup d on (d.site_id, d.device_setup_id) = (a.site_id, a.device_setup_id)
  where v.status <> 'entered-in-error' and d.blade_use in ('reusable', 'sheathed');
comment on view kit.reusable_use is 'Attempts with a reusable or sheathed blade by their set-up, and whether a use of an item names them.';
grant select on kit.reusable_use to ${app};

revoke execute on function kit.slots_fit(jsonb), kit.lines_fit(jsonb),
  kit.touched(smallint, uuid[], integer[], text, integer), kit.trolley_days(smallint, date, date) from public;
grant execute on function kit.slots_fit(jsonb), kit.lines_fit(jsonb),
  kit.touched(smallint, uuid[], integer[], text, integer), kit.trolley_days(smallint, date, date) to ${app};
