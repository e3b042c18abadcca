-- Defines what in a record asks for another look: answers that contradict each other, and pairs that may be the same.
-- Why: one definition, read by the page of the data's quality. Only records that count are looked at, and nothing is
-- ever changed here: whoever knows the case decides. Source: the definitions of the registry, section 6 (soft checks).

create or replace view analysis.contradiction with (security_invoker = true) as
  with attempts as (
    select a.*, c.course_approach in ('oral', 'nasal', 'via_sga', 'stoma') as tracheal
    from analysis.fact f
    join encounter.attempt a using (site_id, encounter_id, version)
    join encounter.course c using (site_id, encounter_id, version, course_no)
  ), found as (
    -- A tube that was in place, and yet another attempt of the same course: lost, or a change of plan.
    select site_id, encounter_id, attempt_no, 'further_attempt' as kind
    from attempts a
    where attempt_success = 'yes' and exists (
      select from encounter.attempt b
      where (b.site_id, b.encounter_id, b.version, b.course_no) = (a.site_id, a.encounter_id, a.version, a.course_no)
        and b.attempt_no > a.attempt_no)
    union all
    -- "None" was looked for and ticked; a blank is missing and told there.
    select site_id, encounter_id, attempt_no, 'not_confirmed'
    from attempts
    where tracheal and attempt_success = 'yes' and confirmation = array['none']
    union all
    select site_id, encounter_id, attempt_no, 'oesophagus'
    from attempts a
    where tube_position = 'oesophagus' and not exists (
      select from encounter.event e
      where (e.site_id, e.encounter_id, e.version) = (a.site_id, a.encounter_id, a.version)
        and e.event_type in ('oesophageal_now', 'oesophageal_late'))
    union all
    -- Grades 1 to 4, halves not counted: a screen that shows two grades less than the eye.
    select site_id, encounter_id, attempt_no, 'screen_worse'
    from attempts
    where view_direct ~ '^[1-4]' and view_screen ~ '^[1-4]'
      and left(view_screen, 1)::int - left(view_direct, 1)::int >= 2
    union all
    -- Usual rules for children, age/4 + 3.5 mm with a cuff and + 4 without, from two years and from one; a silent check.
    select a.site_id, a.encounter_id, a.attempt_no, 'tube_size'
    from attempts a
    join encounter.version v using (site_id, encounter_id, version)
    where v.age_days < 6575
      and (a.tube_cuff = 'cuffed' and v.age_days >= 730 and abs(a.tube_size_mm - (v.age_days / 1461.0 + 3.5)) > 1.5
        or a.tube_cuff = 'uncuffed' and v.age_days >= 365 and abs(a.tube_size_mm - (v.age_days / 1461.0 + 4)) > 1.5)
    union all
    select site_id, encounter_id, null, 'no_event_low'
    from analysis.fact f
    join encounter.version v using (site_id, encounter_id, version)
    where v.adverse_event_any = 'no' and f.spo2_lowest < 40
  )
  select f.site_id, f.encounter_id, f.month, f.started_at, found.kind, found.attempt_no
  from found
  join analysis.fact f using (site_id, encounter_id);
comment on view analysis.contradiction is 'Answers of records that count and that cannot easily both be right.';

-- Pairs of records that may be one: starts within 60 minutes, or first intubations within 12 hours; the same known age
-- and no weight that differs. The limits are our own.
create or replace view analysis.likeness with (security_invoker = true) as
  select a.site_id, a.month, a.encounter_id, a.started_at, b.encounter_id as other_id,
         extract(epoch from a.started_at - b.started_at)::integer / 60 as minutes,
         v.weight_kg = w.weight_kg as same_weight,
         a.encounter_kind = b.encounter_kind as same_kind
  from analysis.fact a
  join analysis.fact b
    on b.site_id = a.site_id and b.started_at between a.started_at - interval '12 hours' and a.started_at
   and (b.started_at, b.encounter_id) < (a.started_at, a.encounter_id)
  join encounter.version v on (v.site_id, v.encounter_id, v.version) = (a.site_id, a.encounter_id, a.version)
  join encounter.version w on (w.site_id, w.encounter_id, w.version) = (b.site_id, b.encounter_id, b.version)
  where coalesce(v.encounter_start_precision, 'minute') = 'minute'
    and coalesce(w.encounter_start_precision, 'minute') = 'minute'
    and v.age_days = w.age_days
    and (v.weight_kg = w.weight_kg) is not false
    and (b.started_at >= a.started_at - interval '60 minutes'
      or v.encounter_kind = 'initial' and w.encounter_kind = 'initial' and v.weight_kg = w.weight_kg);
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
