-- Bits stand in the order of the starts, and beside them stand the starts and what has many values, in the same order.
-- Why: a median needs every value, and groups of n and what lies between events need the order. Read record by record that takes as long as
-- the records are many; a year of a unit in one piece is read at once.
drop function analysis.tally(integer);
drop view analysis.tally_anew;
truncate analysis.tally, analysis.tally_due;

-- Not packed: a chart would unpack them each time.
alter table analysis.tally alter column records set storage external;
comment on column analysis.tally.records is 'One bit for each fact row of the part, in the order of starts and keys: 1 where it gave the answer.';
comment on column analysis.tally.part is 'A year of many rows is cut into parts of 14336, from 0: so many bits still lie in the row and its index.';
comment on column analysis.tally.answer is 'What the column holds: yes or no as 1 or 0, any value of many as 0. Empty is -2 in what is measured (does not count), where -1 is not known, and -1 elsewhere (not answered).';

create table analysis.tally_month (
  site_id smallint not null references access.site,
  year smallint not null,
  part integer not null,
  month smallint not null,
  first integer not null,
  times integer not null,
  block bigint not null generated always as ((site_id * 10000::bigint + year) * 100000 + part) stored,
  primary key (block, month)
);
create index tally_month_year on analysis.tally_month (site_id, year);
comment on table analysis.tally_month is 'Which bits of a part of a year are those of a month: they lie side by side.';
comment on column analysis.tally_month.site_id is 'The unit.';
comment on column analysis.tally_month.year is 'The year of the month in the fact rows.';
comment on column analysis.tally_month.part is 'As in analysis.tally.';
comment on column analysis.tally_month.month is 'The month, 1 to 12.';
comment on column analysis.tally_month.first is 'The first of its bits, from 1.';
comment on column analysis.tally_month.times is 'How many bits.';
comment on column analysis.tally_month.block is 'Unit, year and part as one number.';

create table analysis.tally_value (
  site_id smallint not null references access.site,
  year smallint not null,
  part integer not null,
  question text not null,
  answers bytea not null,
  block bigint not null generated always as ((site_id * 10000::bigint + year) * 100000 + part) stored,
  primary key (question, block)
);
alter table analysis.tally_value alter column answers set storage external;
create index tally_value_year on analysis.tally_value (site_id, year);
comment on table analysis.tally_value is 'What the fact rows of a unit and year hold in columns of many values, in the order of the bits of analysis.tally.';
comment on column analysis.tally_value.site_id is 'The unit.';
comment on column analysis.tally_value.year is 'The year of the month in the fact rows.';
comment on column analysis.tally_value.part is 'As in analysis.tally.';
comment on column analysis.tally_value.question is 'Name of the column of the fact row.';
comment on column analysis.tally_value.answers is 'One number for each fact row of the part, highest byte first: of started_at eight bytes, microseconds since 1970 in UTC; of all others two, -2 where it is empty and -1 where it is not known.';
comment on column analysis.tally_value.block is 'Unit, year and part as one number.';

-- A year is tallied again after every change in it.
create index fact_year on analysis.fact (site_id, (extract(year from month)::smallint));

create view analysis.tally_place with (security_invoker = true) as
  select p.*, ((p.place - 1) / 14336)::integer as part
  from (
    select f.*, extract(year from f.month)::smallint as year, row_number() over year_of_unit as place
    from analysis.fact f
    window year_of_unit as (
      partition by f.site_id, extract(year from f.month)::smallint order by f.month, f.started_at, f.encounter_id)
  ) p;
comment on view analysis.tally_place is 'Which place in its year a fact row has, from 1, and in which part that is.';

create view analysis.tally_anew with (security_invoker = true) as
  with lettered as (
    select p.site_id, p.year, p.part,
      string_agg(chr(64 + coalesce(p.fps, -2)), '' order by p.place) as fps,
      string_agg(chr(64 + coalesce(p.fps_strict, -2)), '' order by p.place) as fps_strict,
      string_agg(chr(64 + coalesce(p.fps_clean, -2)), '' order by p.place) as fps_clean,
      string_agg(chr(64 + coalesce(p.ae_any, -2)), '' order by p.place) as ae_any,
      string_agg(chr(64 + coalesce(p.event_count, -2)), '' order by p.place) as event_count,
      string_agg(chr(64 + coalesce(p.ae_severe_a, -2)), '' order by p.place) as ae_severe_a,
      string_agg(chr(64 + coalesce(p.ae_severe_b, -2)), '' order by p.place) as ae_severe_b,
      string_agg(chr(64 + coalesce(p.ae_severe_c, -2)), '' order by p.place) as ae_severe_c,
      string_agg(chr(64 + coalesce(p.success_2, -2)), '' order by p.place) as success_2,
      string_agg(chr(64 + coalesce(p.overall_success, -2)), '' order by p.place) as overall_success,
      string_agg(chr(64 + coalesce(p.attempts_3plus, -2)), '' order by p.place) as attempts_3plus,
      string_agg(chr(64 + coalesce(p.desat_80, -2)), '' order by p.place) as desat_80,
      string_agg(chr(64 + coalesce(p.desat_70, -2)), '' order by p.place) as desat_70,
      string_agg(chr(64 + coalesce(p.desat_20pt, -2)), '' order by p.place) as desat_20pt,
      string_agg(chr(64 + coalesce(p.oesophageal_any, -2)), '' order by p.place) as oesophageal_any,
      string_agg(chr(64 + coalesce(p.oesophageal_late, -2)), '' order by p.place) as oesophageal_late,
      string_agg(chr(64 + coalesce(p.capno_used, -2)), '' order by p.place) as capno_used,
      string_agg(chr(64 + coalesce(p.sustained_co2, -2)), '' order by p.place) as sustained_co2,
      string_agg(chr(64 + coalesce(p.checklist, -2)), '' order by p.place) as checklist,
      string_agg(chr(64 + coalesce(p.apnoeic_o2, -2)), '' order by p.place) as apnoeic_o2,
      string_agg(chr(64 + coalesce(p.nmb_used, -2)), '' order by p.place) as nmb_used,
      string_agg(chr(64 + coalesce(p.video_used, -2)), '' order by p.place) as video_used,
      string_agg(chr(64 + coalesce(p.screen_looked, -2)), '' order by p.place) as screen_looked,
      string_agg(chr(64 + coalesce(p.good_view_no_pass, -2)), '' order by p.place) as good_view_no_pass,
      string_agg(chr(64 + coalesce(p.room_for_tube, -2)), '' order by p.place) as room_for_tube,
      string_agg(chr(64 + coalesce(p.kit_failure_use, -2)), '' order by p.place) as kit_failure_use,
      string_agg(chr(64 + coalesce(p.device_mode, -1)), '' order by p.place) as device_mode,
      string_agg(chr(64 + coalesce(p.blade_geometry, -1)), '' order by p.place) as blade_geometry,
      string_agg(chr(64 + coalesce(p.blade_size, -1)), '' order by p.place) as blade_size,
      string_agg(chr(64 + coalesce(p.blade_material, -1)), '' order by p.place) as blade_material,
      string_agg(chr(64 + coalesce(p.blade_use, -1)), '' order by p.place) as blade_use,
      string_agg(chr(64 + coalesce(p.display_mounting, -1)), '' order by p.place) as display_mounting,
      string_agg(chr(64 + coalesce(p.look_target, -1)), '' order by p.place) as look_target,
      string_agg(chr(64 + coalesce(p.blade_tip, -1)), '' order by p.place) as blade_tip,
      string_agg(chr(64 + coalesce(p.operator_grade, -1)), '' order by p.place) as operator_grade,
      string_agg(chr(64 + coalesce(p.operator_experience, -1)), '' order by p.place) as operator_experience,
      string_agg(chr(64 + coalesce(p.operator_setup_uses, -1)), '' order by p.place) as operator_setup_uses,
      string_agg(chr(64 + coalesce(p.difficulty_predicted, -1)), '' order by p.place) as difficulty_predicted,
      string_agg(chr(64 + coalesce(p.limited_mouth_opening, -1)), '' order by p.place) as limited_mouth_opening,
      string_agg(chr(64 + coalesce(p.encounter_kind, -1)), '' order by p.place) as encounter_kind,
      string_agg(chr(64 + coalesce(p.location, -1)), '' order by p.place) as location,
      string_agg(chr(64 + coalesce(p.urgency, -1)), '' order by p.place) as urgency,
      string_agg(chr(64 + coalesce(p.age_band, -1)), '' order by p.place) as age_band,
      string_agg(chr(64 + coalesce(p.operator_profession, -1)), '' order by p.place) as operator_profession,
      string_agg(chr(64 + coalesce(p.supervision, -1)), '' order by p.place) as supervision,
      string_agg(chr(64 + coalesce(p.course_approach, -1)), '' order by p.place) as course_approach,
      string_agg(chr(64 + coalesce(p.light_source, -1)), '' order by p.place) as light_source,
      string_agg(chr(64 + coalesce(p.recorder_role, -1)), '' order by p.place) as recorder_role,
      string_agg(chr(64 + coalesce(p.indication_main, -1)), '' order by p.place) as indication_main,
      string_agg(chr(64 + coalesce(p.diagnosis_category, -1)), '' order by p.place) as diagnosis_category,
      string_agg(chr(64 + coalesce(p.cyanotic_heart_disease, -1)), '' order by p.place) as cyanotic_heart_disease,
      string_agg(chr(64 + coalesce(p.circulation_unstable, -1)), '' order by p.place) as circulation_unstable,
      string_agg(chr(64 + coalesce(p.difficult_airway_history, -1)), '' order by p.place) as difficult_airway_history,
      string_agg(chr(64 + coalesce(p.reduced_neck_extension, -1)), '' order by p.place) as reduced_neck_extension,
      string_agg(chr(64 + coalesce(p.micrognathia, -1)), '' order by p.place) as micrognathia,
      string_agg(chr(64 + coalesce(p.midface_hypoplasia, -1)), '' order by p.place) as midface_hypoplasia,
      string_agg(chr(64 + coalesce(p.upper_airway_obstruction, -1)), '' order by p.place) as upper_airway_obstruction,
      string_agg(chr(64 + coalesce(p.setup_no, -1)), '' order by p.place) as setup_no,
      string_agg(chr(64 + least(coalesce(p.spo2_low, -2), 0)), '' order by p.place) as spo2_low,
      string_agg(chr(64 + least(coalesce(p.duration_co2, -2), 0)), '' order by p.place) as duration_co2,
      string_agg(chr(64 + least(coalesce(p.duration_tube_placed, -2), 0)), '' order by p.place) as duration_tube_placed,
      string_agg(chr(64 + least(coalesce(p.duration_confirmed, -2), 0)), '' order by p.place) as duration_confirmed,
      string_agg(chr(64 + least(coalesce(p.duration_blade_out, -2), 0)), '' order by p.place) as duration_blade_out,
      string_agg(chr(64 + p.nominal::integer), '' order by p.place) as nominal
    from analysis.tally_place p
    group by p.site_id, p.year, p.part
  )
  select l.site_id, l.year, l.part, q.question, ascii(given.letter) - 64 as answer,
    -- Every letter becomes 0, but the one 1.
    translate(
      q.letters, s.letters, overlay(repeat('0', length(s.letters)) placing '1' from strpos(s.letters, given.letter))
    )::bit varying as records
  from lettered l
  cross join lateral (values
    ('fps', l.fps), ('fps_strict', l.fps_strict), ('fps_clean', l.fps_clean), ('ae_any', l.ae_any),
    ('event_count', l.event_count), ('ae_severe_a', l.ae_severe_a), ('ae_severe_b', l.ae_severe_b),
    ('ae_severe_c', l.ae_severe_c), ('success_2', l.success_2), ('overall_success', l.overall_success),
    ('attempts_3plus', l.attempts_3plus), ('desat_80', l.desat_80), ('desat_70', l.desat_70),
    ('desat_20pt', l.desat_20pt), ('oesophageal_any', l.oesophageal_any), ('oesophageal_late', l.oesophageal_late),
    ('capno_used', l.capno_used), ('sustained_co2', l.sustained_co2), ('checklist', l.checklist),
    ('apnoeic_o2', l.apnoeic_o2), ('nmb_used', l.nmb_used), ('video_used', l.video_used),
    ('screen_looked', l.screen_looked), ('good_view_no_pass', l.good_view_no_pass),
    ('room_for_tube', l.room_for_tube), ('kit_failure_use', l.kit_failure_use), ('device_mode', l.device_mode),
    ('blade_geometry', l.blade_geometry), ('blade_size', l.blade_size), ('blade_material', l.blade_material),
    ('blade_use', l.blade_use), ('display_mounting', l.display_mounting), ('look_target', l.look_target),
    ('blade_tip', l.blade_tip), ('operator_grade', l.operator_grade), ('operator_experience', l.operator_experience),
    ('operator_setup_uses', l.operator_setup_uses), ('difficulty_predicted', l.difficulty_predicted),
    ('limited_mouth_opening', l.limited_mouth_opening), ('encounter_kind', l.encounter_kind),
    ('location', l.location), ('urgency', l.urgency), ('age_band', l.age_band),
    ('operator_profession', l.operator_profession), ('supervision', l.supervision),
    ('course_approach', l.course_approach), ('light_source', l.light_source), ('recorder_role', l.recorder_role),
    ('indication_main', l.indication_main), ('diagnosis_category', l.diagnosis_category),
    ('cyanotic_heart_disease', l.cyanotic_heart_disease), ('circulation_unstable', l.circulation_unstable),
    ('difficult_airway_history', l.difficult_airway_history), ('reduced_neck_extension', l.reduced_neck_extension),
    ('micrognathia', l.micrognathia), ('midface_hypoplasia', l.midface_hypoplasia),
    ('upper_airway_obstruction', l.upper_airway_obstruction), ('setup_no', l.setup_no), ('spo2_low', l.spo2_low),
    ('duration_co2', l.duration_co2), ('duration_tube_placed', l.duration_tube_placed),
    ('duration_confirmed', l.duration_confirmed), ('duration_blade_out', l.duration_blade_out),
    ('nominal', l.nominal)
  ) q (question, letters)
  cross join lateral (
    select string_agg(one.letter, '') as letters
    from (select distinct unnest(string_to_array(q.letters, null))) one (letter)
  ) s
  cross join lateral unnest(string_to_array(s.letters, null)) given (letter);
comment on view analysis.tally_anew is 'What the tallies are made from, and compared with. One letter for each answer on the way: a year is gone through once, not once for each question.';

create view analysis.tally_month_anew with (security_invoker = true) as
  select p.site_id, p.year, p.part, extract(month from p.month)::smallint as month,
    (min(p.place) - p.part * 14336)::integer as first, count(*)::integer as times
  from analysis.tally_place p
  group by p.site_id, p.year, p.part, p.month;
comment on view analysis.tally_month_anew is 'What the months beside the tallies are made from, and compared with.';

create view analysis.tally_value_anew with (security_invoker = true) as
  select f.site_id, f.year, f.part, q.question, string_agg(q.answer, ''::bytea order by f.place) as answers
  from analysis.tally_place f
  cross join lateral (values
    ('started_at', int8send((extract(epoch from f.started_at) * 1000000)::bigint)),
    ('spo2_low', int2send(coalesce(f.spo2_low, -2::smallint))),
    ('duration_co2', int2send(coalesce(f.duration_co2, -2::smallint))),
    ('duration_tube_placed', int2send(coalesce(f.duration_tube_placed, -2::smallint))),
    ('duration_confirmed', int2send(coalesce(f.duration_confirmed, -2::smallint))),
    ('duration_blade_out', int2send(coalesce(f.duration_blade_out, -2::smallint)))
  ) q (question, answer)
  group by f.site_id, f.year, f.part, q.question;
comment on view analysis.tally_value_anew is 'What the values beside the tallies are made from, and compared with.';

-- The marks go first and the rows are counted after: what is written in between leaves a mark of its own.
create function analysis.tally(p_most integer) returns integer language plpgsql set search_path = pg_catalog as $$
declare
  v_due record;
  v_done integer := 0;
begin
  if not pg_try_advisory_xact_lock(hashtextextended('analysis.tally', 0)) then
    return 0;
  end if;
  for v_due in select distinct d.site_id, d.year from analysis.tally_due d limit p_most loop
    delete from analysis.tally_due d where (d.site_id, d.year) = (v_due.site_id, v_due.year);
    delete from analysis.tally t where (t.site_id, t.year) = (v_due.site_id, v_due.year);
    delete from analysis.tally_month t where (t.site_id, t.year) = (v_due.site_id, v_due.year);
    delete from analysis.tally_value t where (t.site_id, t.year) = (v_due.site_id, v_due.year);
    insert into analysis.tally (site_id, year, part, question, answer, records)
      select a.* from analysis.tally_anew a where a.site_id = v_due.site_id and a.year = v_due.year;
    insert into analysis.tally_month (site_id, year, part, month, first, times)
      select a.* from analysis.tally_month_anew a where a.site_id = v_due.site_id and a.year = v_due.year;
    insert into analysis.tally_value (site_id, year, part, question, answers)
      select a.* from analysis.tally_value_anew a where a.site_id = v_due.site_id and a.year = v_due.year;
    v_done := v_done + 1;
  end loop;
  return v_done;
end $$;
comment on function analysis.tally(integer) is 'Tallies marked years again, up to so many; tells how many. Nothing while another transaction does.';

insert into analysis.tally_due (site_id, year) select distinct f.site_id, extract(year from f.month)::smallint from analysis.fact f;

do $$
declare v_table text;
begin
  foreach v_table in array array['tally_month', 'tally_value'] loop
    execute format('alter table analysis.%I enable row level security', v_table);
    execute format('alter table analysis.%I force row level security', v_table);
    execute format('create policy owner_all on analysis.%I to ${owner} using (true) with check (true)', v_table);
    -- One bit for each row: see V018.
    execute format('create policy in_scope on analysis.%I to ${app} using (get_bit((select access.scope_bits()), site_id)::boolean) '
      'with check (site_id = any ((select access.scope())::smallint[]))', v_table);
    execute format('grant select, insert, delete on analysis.%I to ${app}', v_table);
  end loop;
end $$;
grant select on analysis.tally_place, analysis.tally_anew, analysis.tally_month_anew, analysis.tally_value_anew to ${app};
revoke execute on function analysis.tally(integer) from public;
grant execute on function analysis.tally(integer) to ${app};
