-- Defines what in a record asks for another look: answers that contradict each other, and pairs that may be the same.
-- Why: one definition, read by the page of the data's quality. Only records that count are looked at, and nothing is
-- ever changed here: whoever knows the case decides. Source: the definitions of the registry, section 6 (soft checks).

-- One pass: each fact row looks up its own version and attempts by their keys. "offset 0" keeps it so, for on tables that
-- were just filled the planner knows nothing of their size and joins them whole.
create or replace view analysis.contradiction with (security_invoker = true) as
  select f.site_id, f.encounter_id, f.month, f.started_at, found.kind, found.attempt_no
  from analysis.fact f
  cross join lateral (
    select 'no_event_low' as kind, null::smallint as attempt_no
    from encounter.version v
    where (v.site_id, v.encounter_id, v.version) = (f.site_id, f.encounter_id, f.version)
      and v.adverse_event_any = 'no' and f.spo2_lowest < 40
    union all
    select odd.kind, a.attempt_no
    from encounter.attempt a
    join encounter.course c using (site_id, encounter_id, version, course_no)
    join encounter.version v using (site_id, encounter_id, version)
    cross join lateral (values
      -- A tube that was in place, and yet another attempt of the same course: lost, or a change of plan.
      ('further_attempt', a.attempt_success = 'yes' and exists (
        select from encounter.attempt b
        where (b.site_id, b.encounter_id, b.version, b.course_no) = (a.site_id, a.encounter_id, a.version, a.course_no)
          and b.attempt_no > a.attempt_no)),
      -- "None" was looked for and ticked; a blank is missing and told there.
      ('not_confirmed', c.course_approach in ('oral', 'nasal', 'via_sga', 'stoma') and a.attempt_success = 'yes'
        and a.confirmation = array['none']),
      ('oesophagus', a.tube_position = 'oesophagus' and not exists (
        select from encounter.event e
        where (e.site_id, e.encounter_id, e.version) = (a.site_id, a.encounter_id, a.version)
          and e.event_type in ('oesophageal_now', 'oesophageal_late'))),
      -- Grades 1 to 4, halves not counted: a screen that shows two grades less than the eye.
      ('screen_worse', case when a.view_direct ~ '^[1-4]' and a.view_screen ~ '^[1-4]'
        then left(a.view_screen, 1)::int - left(a.view_direct, 1)::int >= 2 end),
      -- Usual rules for children, age/4 + 3.5 mm with a cuff and + 4 without, from two years and from one; a silent check.
      ('tube_size', v.age_days < 6575
        and (a.tube_cuff = 'cuffed' and v.age_days >= 730 and abs(a.tube_size_mm - (v.age_days / 1461.0 + 3.5)) > 1.5
          or a.tube_cuff = 'uncuffed' and v.age_days >= 365 and abs(a.tube_size_mm - (v.age_days / 1461.0 + 4)) > 1.5))
    ) as odd (kind, holds)
    where (a.site_id, a.encounter_id, a.version) = (f.site_id, f.encounter_id, f.version) and odd.holds
    offset 0
  ) found;
comment on view analysis.contradiction is 'Answers of records that count and that cannot easily both be right.';

-- Pairs of records that may be one: starts within 60 minutes, or first intubations within 12 hours; the same known age
-- and no weight that differs. The limits are our own.
create or replace view analysis.likeness with (security_invoker = true) as
  select a.site_id, a.month, a.encounter_id, a.started_at, b.encounter_id as other_id,
         extract(epoch from a.started_at - b.started_at)::integer / 60 as minutes,
         b.same_weight,
         a.encounter_kind = b.encounter_kind as same_kind
  from analysis.fact a
  cross join lateral (
    select b.encounter_id, b.started_at, b.encounter_kind, v.weight_kg = w.weight_kg as same_weight
    from analysis.fact b
    join encounter.version v on (v.site_id, v.encounter_id, v.version) = (a.site_id, a.encounter_id, a.version)
    join encounter.version w on (w.site_id, w.encounter_id, w.version) = (b.site_id, b.encounter_id, b.version)
    where b.site_id = a.site_id and b.started_at between a.started_at - interval '12 hours' and a.started_at
      and (b.started_at, b.encounter_id) < (a.started_at, a.encounter_id)
      and coalesce(v.encounter_start_precision, 'minute') = 'minute'
      and coalesce(w.encounter_start_precision, 'minute') = 'minute'
      and v.age_days = w.age_days
      and (v.weight_kg = w.weight_kg) is not false
      and (b.started_at >= a.started_at - interval '60 minutes'
        or v.encounter_kind = 'initial' and w.encounter_kind = 'initial' and v.weight_kg = w.weight_kg)
    offset 0
  ) b;
comment on view analysis.likeness is 'Pairs of records of one unit that may tell of the same intubation: the later one, and the earlier one beside it.';

-- How soon after the procedure a record was made, and how its start was told.
create or replace view analysis.entry with (security_invoker = true) as
  select f.site_id, f.encounter_id, f.month, f.started_at, o.recorded_at,
         o.source_row is not null as imported,
         coalesce(v.encounter_start_precision, 'minute') as precision,
         extract(minute from f.started_at at time zone z.zone) = 0 as on_the_hour
  from analysis.fact f
  join encounter.version v using (site_id, encounter_id, version)
  join encounter.version o on (o.site_id, o.encounter_id, o.version) = (f.site_id, f.encounter_id, 1)
  join access.site z on z.site_id = f.site_id;
comment on view analysis.entry is 'When a record that counts was made, and how precisely its start was told.';

grant select on analysis.contradiction, analysis.likeness, analysis.entry to ${app};
