-- Defines every measure once, in SQL, and writes the fact row from it.
-- Why: POST answers, charts and comparisons read the same definition. When this file changes, all rows are made again.

-- How severe each type of event is, by the version of each scheme that is in force.
create or replace view analysis.severity_in_force with (security_invoker = true) as
  select distinct on (scheme, event_type) scheme, version, event_type, class
  from analysis.severity order by scheme, event_type, version desc;
comment on view analysis.severity_in_force is 'The class of each type of event in the newest version of each scheme.';
grant select on analysis.severity_in_force to ${app};

-- The answers of one version of a record. Unknown is -1, outside the measure is null (definitions: docs/topics/measures.md).
drop view if exists analysis.fact_anew;
drop function if exists analysis.derive(smallint, uuid, integer);
create function analysis.derive(p_site_id smallint, p_encounter_id uuid, p_version integer)
  returns table (outside smallint, fps smallint, fps_strict smallint, fps_clean smallint,
                 tracheal_attempts smallint, spo2_lowest smallint, age_band text, ae_any smallint,
                 ae_severe_a smallint, ae_severe_b smallint, ae_severe_c smallint,
                 success_2 smallint, overall_success smallint, attempts_3plus smallint,
                 desat_80 smallint, desat_70 smallint, desat_20pt smallint,
                 oesophageal_any smallint, oesophageal_late smallint, capno_used smallint, sustained_co2 smallint,
                 checklist smallint, apnoeic_o2 smallint, nmb_used smallint, video_used smallint,
                 screen_looked smallint, good_view_no_pass smallint, room_for_tube smallint, kit_failure_use smallint,
                 event_count smallint, spo2_low smallint, duration_co2 smallint, duration_tube_placed smallint,
                 duration_confirmed smallint, duration_blade_out smallint)
  language sql stable set search_path = pg_catalog as $$
  with v as (
    select * from encounter.version v
    where (v.site_id, v.encounter_id, v.version) = (p_site_id, p_encounter_id, p_version)
  ), attempts as (
    select a.attempt_no, a.attempt_success, a.tube_passes, a.tube_position, a.spo2_lowest, a.spo2_quality,
           a.look_target, a.view_direct, a.view_screen, a.failure_reason, a.space_for_tube, a.confirmation,
           a.sustained_co2, a.kit_issue, a.attempt_duration_s, a.attempt_duration_end, c.spo2_best_before, c.checklist_used, c.apnoeic_oxygenation, c.neuromuscular_block, s.device_mode,
           c.course_approach in ('oral', 'nasal', 'via_sga', 'stoma') as tracheal
    from encounter.attempt a
    join encounter.course c using (site_id, encounter_id, version, course_no)
    left join encounter.device_setup s on (s.site_id, s.device_setup_id) = (a.site_id, a.device_setup_id)
    where (a.site_id, a.encounter_id, a.version) = (p_site_id, p_encounter_id, p_version)
  ), first as (
    select a.*, case a.attempt_success when 'yes' then 1 when 'no' then 0 else -1 end as success
    from attempts a where attempt_no = 1
  ), population as (
    select case when v.encounter_kind = 'tube_change' then 1
                when not exists (select from attempts) then 2
                when not (select tracheal from first) then 3 end as outside
    from v
  ), counted as (
    -- Up to the first success; an attempt before it whose result is not known leaves the number unknown.
    select case when not coalesce(bool_or(a.attempt_success = 'unk'), false) then count(*) end as tracheal_attempts
    from attempts a
    where a.tracheal and a.attempt_no <= coalesce(
      (select min(s.attempt_no) from attempts s where s.tracheal and s.attempt_success = 'yes'), a.attempt_no)
  ), saturation as (
    select least(min(a.spo2_lowest), (select spo2_lowest_overall from v)) as known,
           (select spo2_lowest_overall from v) is not null
             or coalesce(bool_and(a.spo2_lowest is not null), false) as complete,
           (select spo2_best_before from first) as best,
           coalesce(bool_or(a.spo2_quality in ('poor', 'none')), false) as untrusted
    from attempts a
  ), desaturation as (
    -- A known fall settles yes; no needs every reading; a fixed limit is not used where the baseline is low.
    select case
      when s.known is null then null
      when v.cyanotic_heart_disease = 'yes' then
        case when s.best - s.known >= 20 then true when s.complete and s.best is not null then false end
      when v.cyanotic_heart_disease = 'no' and s.known < 70 then true
      when s.best >= 90 then case when s.known < 80 then true when s.complete then false end
      when s.best < 90 then
        case when s.best - s.known >= 20 then true
             when s.complete and (v.cyanotic_heart_disease = 'no' or s.known >= 70) then false end
      end as happened
    from saturation s, v
  ), events as (
    -- A row settles yes even where the question before it was left blank. A kit failure is told apart from the
    -- harms: alone it is no event of this measure.
    select case
      when r.harm then true
      when v.adverse_event_any = 'yes' then r.harm is null
      when v.adverse_event_any = 'no' then false
      end as happened, r.harms
    from v, (select bool_or(e.event_type <> 'kit_failure') as harm,
                    count(*) filter (where e.event_type <> 'kit_failure') as harms
             from encounter.event e
             where (e.site_id, e.encounter_id, e.version) = (p_site_id, p_encounter_id, p_version)) r
  ), severe as (
    -- One severe event settles yes. Another event that nobody has judged, or an event that was reported and not named,
    -- leaves it unknown; no needs all of them known.
    select k.scheme, case
      when coalesce(bool_or(s.class = 'severe'), false) then 1
      when coalesce(bool_or(s.class = 'by_reviewer'), false) or not coalesce(bool_or(r.event_type is not null), false)
        and (select happened from events) then -1
      when (select happened from events) is not null then 0
      else -1 end as answer
    from (values ('A'), ('B'), ('C')) k (scheme)
    left join encounter.event r
      on (r.site_id, r.encounter_id, r.version) = (p_site_id, p_encounter_id, p_version)
    left join analysis.severity_in_force s on (s.scheme, s.event_type) = (k.scheme, r.event_type)
    group by k.scheme
  ), two as (
    -- The first two tracheal attempts; one that was not needed did not fail.
    select case when bool_or(t.attempt_success = 'yes') then 1
                when bool_or(t.attempt_success = 'unk') then -1 else 0 end as answer
    from (select a.attempt_success from attempts a where a.tracheal order by a.attempt_no limit 2) t
  ), fall as (
    -- A fixed limit is not used where the baseline is low. A reading below it settles yes; no needs every reading.
    select l.points, case
      when s.best < 90 or v.cyanotic_heart_disease = 'yes' then null
      when s.best is null or s.untrusted then -1
      when s.known < l.points then 1
      when s.complete then 0 else -1 end as answer
    from saturation s, v, (values (80), (70)) l (points)
  ), oesophagus as (
    -- Where the tube went is told by the position of each tracheal attempt, unless no tube was advanced in it.
    select coalesce(r.late, false) as late, coalesce(r.placed, false) or coalesce(a.placed, false) as placed,
      not e.happened or e.happened and r.named > 0 as told, coalesce(a.told, false) as positions_told
    from events e, (
      select bool_or(event_type = 'oesophageal_late') as late, count(*) as named,
        bool_or(event_type in ('oesophageal_late', 'oesophageal_now')) as placed
      from encounter.event where (site_id, encounter_id, version) = (p_site_id, p_encounter_id, p_version)
    ) r, (
      select bool_or(tube_position = 'oesophagus') as placed,
        bool_and(coalesce(tube_position <> 'unk', tube_passes = 0, false)) filter (where tracheal) as told
      from attempts
    ) a
  ), ending as (
    -- The attempt that placed the final tube is the last tracheal one that succeeded.
    select case when v.final_airway is null then -1 when v.final_airway in ('oral', 'nasal', 'stoma') then 1 else 0 end
        as tube, l.confirmation, l.sustained_co2
    from v left join (
      select * from attempts where tracheal and attempt_success = 'yes' order by attempt_no desc limit 1
    ) l on true
  ), timed as (
    -- The first tracheal attempt that succeeded, as attempts are counted; a time without its clock-stop is not known. So is
    -- the time where none is known to have succeeded, and the result of one is not known.
    select k.stop, case when l.attempt_success = 'yes' and l.stop = k.stop then l.attempt_duration_s else -1 end as seconds
    from (values ('co2'), ('tube_placed'), ('confirmed'), ('blade_out')) k (stop)
    cross join (
      select attempt_success, attempt_duration_s,
        case when attempt_duration_s is not null then nullif(attempt_duration_end, 'unk') end as stop
      from attempts where tracheal and attempt_success <> 'no'
      order by attempt_success = 'yes' desc, attempt_no limit 1
    ) l
    where l.attempt_success = 'unk' or coalesce(l.stop, k.stop) = k.stop
  ), good_view as (
    -- By eye or on the screen, whichever was used; either where both were, or where that is not told.
    select f.device_mode in ('flexible', 'stylet', 'sga', 'fona', 'other') as ungraded,
      bool_or(g.grade in ('1', '2a')) as good,
      coalesce(bool_or(g.grade not in ('not_looked', 'unk')), false) as graded
    from first f cross join lateral (values
      (case when f.look_target is distinct from 'screen' then f.view_direct end),
      (case when f.look_target is distinct from 'direct' then f.view_screen end)) g (grade)
    group by 1
  )
  select p.outside::smallint,
    case when p.outside is null then f.success end::smallint,
    case when p.outside is null then
      case when f.success <> 1 then f.success
           when f.tube_passes is null then -1
           when f.tube_passes = 1 then 1 else 0 end end::smallint,
    case when p.outside is null then
      case when f.success <> 1 then f.success
           when e.happened or d.happened then 0
           when not e.happened and not d.happened then 1
           else -1 end end::smallint,
    c.tracheal_attempts::smallint,
    case when s.complete or s.known < 80 then s.known end::smallint,
    case when v.age_days is null then 'unknown'
         when v.age_days <= 27 then
           case when t.gestation_weeks is null then 'newborn_unknown_gestation'
                when t.gestation_weeks < 37 then 'newborn_preterm' else 'newborn_term' end
         when v.age_days <= 364 then 'infant'
         when v.age_days <= 2921 then 'child_1_7'
         when v.age_days <= 6574 then 'child_8_17'
         else 'adult' end,
    case when v.encounter_kind <> 'tube_change' then coalesce(e.happened::integer, -1) end::smallint,
    case when v.encounter_kind <> 'tube_change' then (select answer from severe where scheme = 'A') end::smallint,
    case when v.encounter_kind <> 'tube_change' then (select answer from severe where scheme = 'B') end::smallint,
    case when v.encounter_kind <> 'tube_change' then (select answer from severe where scheme = 'C') end::smallint,
    -- success_2, overall_success, attempts_3plus
    case when p.outside is null then case when f.success < 0 then -1 else (select answer from two) end end::smallint,
    case when p.outside is null then g.tube end::smallint,
    case when p.outside is null then coalesce((c.tracheal_attempts >= 3)::integer, -1) end::smallint,
    -- desat_80, desat_70, desat_20pt
    case when f.attempt_no = 1 then (select answer from fall where points = 80) end::smallint,
    case when f.attempt_no = 1 then (select answer from fall where points = 70) end::smallint,
    case when f.attempt_no = 1 then
      case when s.best is null or s.untrusted then -1
           when s.best - s.known >= 20 then 1
           when s.complete then 0 else -1 end end::smallint,
    -- oesophageal_any, oesophageal_late
    case when p.outside is null then
      case when o.placed then 1 when o.told or o.positions_told then 0 else -1 end end::smallint,
    case when p.outside is null then case when o.late then 1 when o.told then 0 else -1 end end::smallint,
    -- capno_used, sustained_co2: of the encounters that ended with a tube; a blank is not documented for the second
    case when f.attempt_no = 1 and g.tube <> 0 then
      case when g.tube < 0 or g.confirmation is null or g.confirmation = array['unk'] then -1
           when 'waveform' = any (g.confirmation) then 1 else 0 end end::smallint,
    case when f.attempt_no = 1 and g.tube <> 0 then
      case when g.tube < 0 then -1 when g.sustained_co2 = 'yes' then 1 else 0 end end::smallint,
    -- checklist: an emergency with arrest is left out by definition, as is a unit that has none
    case when f.attempt_no = 1 and (v.urgency = 'emergency'
        and (v.indication_main = 'arrest' or 'arrest' = any (v.indication))) is not true then
      case f.checklist_used when 'used' then 1 when 'not_used' then 0 when 'none' then null else -1 end end::smallint,
    -- apnoeic_o2, nmb_used
    case when f.attempt_no = 1 then
      case when coalesce(f.apnoeic_oxygenation, 'unk') = 'unk' then -1
           when f.apnoeic_oxygenation = 'none' then 0 else 1 end end::smallint,
    case when f.attempt_no = 1 and v.indication_main is distinct from 'arrest' then
      case f.neuromuscular_block when 'yes' then 1 when 'no' then 0 else -1 end end::smallint,
    -- video_used, screen_looked
    case when f.attempt_no = 1 then coalesce(
      (f.device_mode in ('video_standard', 'video_hyper', 'video_channel', 'combined'))::integer, -1) end::smallint,
    case when f.attempt_no = 1 then
      case when f.device_mode is null then -1
           when f.device_mode <> 'video_standard' then null
           when f.look_target in ('screen', 'both') then 1
           when f.look_target = 'direct' then 0 else -1 end end::smallint,
    -- good_view_no_pass, room_for_tube, kit_failure_use
    case when f.attempt_no = 1 then
      case when w.good then
             case when f.success = 1 then 0
                  when f.success < 0 or f.failure_reason is null or f.failure_reason = array['unk'] then -1
                  when 'view_no_pass' = any (f.failure_reason) then 1 else 0 end
           when not w.graded and w.ungraded is not true then -1 end end::smallint,
    case when f.attempt_no = 1 then
      case when coalesce(f.space_for_tube, 'unk') = 'unk' then -1
           when f.space_for_tube in ('3', '4', '5') then 1 else 0 end end::smallint,
    case when f.attempt_no = 1 then
      case when f.kit_issue is null then -1
           when exists (select from attempts a where a.kit_issue <> array['none']) then 1 else 0 end end::smallint,
    -- event_count: events that were reported and not named leave their number unknown
    case when v.encounter_kind <> 'tube_change' then
      case when e.harms > 0 then e.harms when not e.happened then 0 else -1 end end::smallint,
    -- spo2_low: every reading is needed, or the low ones alone among those that miss one would pull a median down
    case when f.attempt_no = 1 then
      case when s.complete and not s.untrusted then s.known else -1 end end::smallint,
    -- duration_co2, duration_tube_placed, duration_confirmed, duration_blade_out
    (select seconds from timed where stop = 'co2')::smallint,
    (select seconds from timed where stop = 'tube_placed')::smallint,
    (select seconds from timed where stop = 'confirmed')::smallint,
    (select seconds from timed where stop = 'blade_out')::smallint
  from v
  cross join population p cross join counted c cross join saturation s cross join desaturation d cross join events e
  cross join oesophagus o cross join ending g
  left join first f on true
  left join good_view w on true
  left join encounter.patient t
    on (t.site_id, t.encounter_id, t.version) = (p_site_id, p_encounter_id, p_version)
$$;
comment on function analysis.derive(smallint, uuid, integer) is 'Answers of all measures for one version of a record.';

create or replace function analysis.code_no(p_variable text, p_code text) returns smallint
  language sql stable set search_path = pg_catalog
  return (select no from analysis.code where (variable, code) = (p_variable, p_code));
comment on function analysis.code_no(text, text) is 'The small number of a code.';

-- The fact row of each record as its current version gives it now; a withdrawn record has none.
create view analysis.fact_anew with (security_invoker = true) as
  select
    v.site_id,
    v.encounter_id,
    v.version,
    date_trunc('second', v.encounter_start) as started_at,
    (v.encounter_start at time zone z.zone)::date as day,
    date_trunc('month', v.encounter_start at time zone z.zone)::date as month,
    coalesce(v.encounter_start_precision = 'nominal', false) as nominal,
    d.outside,
    d.fps,
    d.fps_strict,
    d.fps_clean,
    d.tracheal_attempts,
    d.spo2_lowest,
    s.setup_no,
    analysis.code_no('device_mode', s.device_mode) as device_mode,
    analysis.code_no('blade_geometry', s.blade_geometry) as blade_geometry,
    analysis.code_no('blade_size', s.blade_size) as blade_size,
    analysis.code_no('blade_material', s.blade_material) as blade_material,
    analysis.code_no('blade_use', s.blade_use) as blade_use,
    analysis.code_no('display_mounting', s.display_mounting) as display_mounting,
    analysis.code_no('look_target', a.look_target) as look_target,
    analysis.code_no('blade_tip', a.blade_tip) as blade_tip,
    analysis.code_no('operator_grade', a.operator_grade) as operator_grade,
    analysis.code_no('operator_experience', a.operator_experience) as operator_experience,
    analysis.code_no('operator_setup_uses', a.operator_setup_uses) as operator_setup_uses,
    analysis.code_no('difficulty_predicted', v.difficulty_predicted) as difficulty_predicted,
    analysis.code_no('limited_mouth_opening', v.limited_mouth_opening) as limited_mouth_opening,
    analysis.code_no('encounter_kind', v.encounter_kind) as encounter_kind,
    analysis.code_no('location', v.location) as location,
    analysis.code_no('urgency', v.urgency) as urgency,
    analysis.code_no('age_band', d.age_band) as age_band,
    d.ae_any,
    d.ae_severe_a,
    d.ae_severe_b,
    d.ae_severe_c,
    analysis.code_no('operator_profession', a.operator_profession) as operator_profession,
    analysis.code_no('supervision', a.supervision) as supervision,
    analysis.code_no('course_approach', c.course_approach) as course_approach,
    analysis.code_no('light_source', s.light_source) as light_source,
    analysis.code_no('recorder_role', v.recorder_role) as recorder_role,
    analysis.code_no('indication_main', v.indication_main) as indication_main,
    analysis.code_no('diagnosis_category', v.diagnosis_category) as diagnosis_category,
    analysis.code_no('cyanotic_heart_disease', v.cyanotic_heart_disease) as cyanotic_heart_disease,
    analysis.code_no('circulation_unstable', v.circulation_unstable) as circulation_unstable,
    analysis.code_no('difficult_airway_history', v.difficult_airway_history) as difficult_airway_history,
    analysis.code_no('reduced_neck_extension', v.reduced_neck_extension) as reduced_neck_extension,
    analysis.code_no('micrognathia', v.micrognathia) as micrognathia,
    analysis.code_no('midface_hypoplasia', v.midface_hypoplasia) as midface_hypoplasia,
    analysis.code_no('upper_airway_obstruction', v.upper_airway_obstruction) as upper_airway_obstruction,
    d.success_2,
    d.overall_success,
    d.attempts_3plus,
    d.desat_80,
    d.desat_70,
    d.desat_20pt,
    d.oesophageal_any,
    d.oesophageal_late,
    d.capno_used,
    d.sustained_co2,
    d.checklist,
    d.apnoeic_o2,
    d.nmb_used,
    d.video_used,
    d.screen_looked,
    d.good_view_no_pass,
    d.room_for_tube,
    d.kit_failure_use,
    d.event_count,
    d.spo2_low,
    d.duration_co2,
    d.duration_tube_placed,
    d.duration_confirmed,
    d.duration_blade_out
  from encounter.encounter n
  join encounter.version v on (v.site_id, v.encounter_id, v.version) = (n.site_id, n.encounter_id, n.current_version)
  join access.site z on z.site_id = n.site_id
  cross join lateral analysis.derive(v.site_id, v.encounter_id, v.version) d
  left join encounter.attempt a
    on (a.site_id, a.encounter_id, a.version, a.attempt_no) = (v.site_id, v.encounter_id, v.version, 1)
  left join encounter.course c
    on (c.site_id, c.encounter_id, c.version, c.course_no) = (a.site_id, a.encounter_id, a.version, a.course_no)
  left join encounter.device_setup s on (s.site_id, s.device_setup_id) = (a.site_id, a.device_setup_id)
  where v.status <> 'entered-in-error';
comment on view analysis.fact_anew is 'What the fact rows are made from, and compared with.';
grant select on analysis.fact_anew to ${app};

-- Called in the transaction that writes a version.
create or replace function analysis.write_fact(p_site_id smallint, p_encounter_id uuid) returns void
  language sql set search_path = pg_catalog as $$
  delete from analysis.fact f where (f.site_id, f.encounter_id) = (p_site_id, p_encounter_id);
  insert into analysis.fact (
    site_id, encounter_id, version, started_at, day, month, nominal,
    outside, fps, fps_strict, fps_clean, tracheal_attempts, spo2_lowest, setup_no,
    device_mode, blade_geometry, blade_size, blade_material, blade_use, display_mounting, look_target,
    blade_tip, operator_grade, operator_experience, operator_setup_uses, difficulty_predicted,
    limited_mouth_opening, encounter_kind, location, urgency, age_band,
    ae_any, ae_severe_a, ae_severe_b, ae_severe_c,
    operator_profession, supervision, course_approach, light_source, recorder_role,
    indication_main, diagnosis_category, cyanotic_heart_disease, circulation_unstable,
    difficult_airway_history, reduced_neck_extension, micrognathia, midface_hypoplasia, upper_airway_obstruction,
    success_2, overall_success, attempts_3plus, desat_80, desat_70, desat_20pt, oesophageal_any, oesophageal_late,
    capno_used, sustained_co2, checklist, apnoeic_o2, nmb_used, video_used, screen_looked, good_view_no_pass,
    room_for_tube, kit_failure_use, event_count, spo2_low,
    duration_co2, duration_tube_placed, duration_confirmed, duration_blade_out)
  select
    site_id, encounter_id, version, started_at, day, month, nominal,
    outside, fps, fps_strict, fps_clean, tracheal_attempts, spo2_lowest, setup_no,
    device_mode, blade_geometry, blade_size, blade_material, blade_use, display_mounting, look_target,
    blade_tip, operator_grade, operator_experience, operator_setup_uses, difficulty_predicted,
    limited_mouth_opening, encounter_kind, location, urgency, age_band,
    ae_any, ae_severe_a, ae_severe_b, ae_severe_c,
    operator_profession, supervision, course_approach, light_source, recorder_role,
    indication_main, diagnosis_category, cyanotic_heart_disease, circulation_unstable,
    difficult_airway_history, reduced_neck_extension, micrognathia, midface_hypoplasia, upper_airway_obstruction,
    success_2, overall_success, attempts_3plus, desat_80, desat_70, desat_20pt, oesophageal_any, oesophageal_late,
    capno_used, sustained_co2, checklist, apnoeic_o2, nmb_used, video_used, screen_looked, good_view_no_pass,
    room_for_tube, kit_failure_use, event_count, spo2_low,
    duration_co2, duration_tube_placed, duration_confirmed, duration_blade_out
  from analysis.fact_anew n
  where (n.site_id, n.encounter_id) = (p_site_id, p_encounter_id)
$$;
comment on function analysis.write_fact(smallint, uuid) is 'Writes the fact row of a record again from its current version.';

revoke execute on all functions in schema analysis from public;
grant execute on all functions in schema analysis to ${app};


-- Rooms meet in published views, not in each other's tables.
create or replace view analysis.setup with (security_invoker = true) as
  select site_id, setup_no, device_setup_id, title from encounter.device_setup;
comment on view analysis.setup is 'Titles of the set-ups that fact rows name by number.';
grant select on analysis.setup to ${app};

-- What a comparison has to know of a record beside its fact row.
create or replace view analysis.hands with (security_invoker = true) as
  select
    v.site_id,
    v.encounter_id,
    v.version,
    coalesce(v.difficulty_written_before = 'no', false) as afterwards,
    -- Who put a record right later did not hold the laryngoscope.
    case when a.operator_is_recorder = 'yes' then one.recorded_by end as recorder
  from encounter.version v
  join encounter.version one on (one.site_id, one.encounter_id, one.version) = (v.site_id, v.encounter_id, 1)
  left join encounter.attempt a
    on (a.site_id, a.encounter_id, a.version, a.attempt_no) = (v.site_id, v.encounter_id, v.version, 1);
comment on view analysis.hands is 'Whether the expectation was written down afterwards, and who held the laryngoscope where that is known.';
grant select on analysis.hands to ${app};

-- The definitions above may have changed: every row is made again.
select count(analysis.write_fact(site_id, encounter_id)) from encounter.encounter;
