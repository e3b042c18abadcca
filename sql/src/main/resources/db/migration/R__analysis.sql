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
                 ae_severe_a smallint, ae_severe_b smallint, ae_severe_c smallint)
  language sql stable set search_path = pg_catalog as $$
  with v as (
    select * from encounter.version v
    where (v.site_id, v.encounter_id, v.version) = (p_site_id, p_encounter_id, p_version)
  ), attempts as (
    select a.attempt_no, a.attempt_success, a.tube_passes, a.spo2_lowest, c.spo2_best_before,
           c.course_approach in ('oral', 'nasal', 'via_sga', 'stoma') as tracheal
    from encounter.attempt a
    join encounter.course c using (site_id, encounter_id, version, course_no)
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
           (select spo2_best_before from first) as best
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
      end as happened
    from v, (select bool_or(e.event_type <> 'kit_failure') as harm from encounter.event e
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
    case when v.encounter_kind <> 'tube_change' then (select answer from severe where scheme = 'C') end::smallint
  from v
  cross join population p cross join counted c cross join saturation s cross join desaturation d cross join events e
  left join first f on true
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
    v.encounter_start as started_at,
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
    analysis.code_no('upper_airway_obstruction', v.upper_airway_obstruction) as upper_airway_obstruction
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
    difficult_airway_history, reduced_neck_extension, micrognathia, midface_hypoplasia, upper_airway_obstruction)
  select
    site_id, encounter_id, version, started_at, day, month, nominal,
    outside, fps, fps_strict, fps_clean, tracheal_attempts, spo2_lowest, setup_no,
    device_mode, blade_geometry, blade_size, blade_material, blade_use, display_mounting, look_target,
    blade_tip, operator_grade, operator_experience, operator_setup_uses, difficulty_predicted,
    limited_mouth_opening, encounter_kind, location, urgency, age_band,
    ae_any, ae_severe_a, ae_severe_b, ae_severe_c,
    operator_profession, supervision, course_approach, light_source, recorder_role,
    indication_main, diagnosis_category, cyanotic_heart_disease, circulation_unstable,
    difficult_airway_history, reduced_neck_extension, micrognathia, midface_hypoplasia, upper_airway_obstruction
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

-- The definitions above may have changed: every row is made again.
select count(analysis.write_fact(site_id, encounter_id)) from encounter.encounter;
