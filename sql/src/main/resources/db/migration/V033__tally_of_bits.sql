-- Keeps which records of a unit and year gave which answer, one bit for each record, instead of counts by month.
-- Why: counts by one question cannot tell how many records gave two answers together; bits can, by "and". So a chart with any
-- number of questions is about as fast as one with none, it takes less room than counts did, and all are asked in one way.
drop function analysis.tally(integer);
drop view analysis.tally_anew;
drop table analysis.tally, analysis.tally_due;

create table analysis.tally (
  site_id smallint not null references access.site,
  year smallint not null,
  part integer not null,
  question text not null,
  answer integer not null,
  records bit varying not null,
  -- One number to join by: of three columns together the planner guesses far too few rows.
  block bigint not null generated always as ((site_id * 10000::bigint + year) * 100000 + part) stored,
  -- With the bits in it, so that a chart reads the index alone; a part is small enough for that.
  primary key (question, answer, block) include (site_id, year, records)
);
create index tally_year on analysis.tally (site_id, year);
comment on table analysis.tally is 'Which fact rows of a unit and year gave which answer to a question; each row one answer to each question.';
comment on column analysis.tally.site_id is 'The unit.';
comment on column analysis.tally.year is 'The year of the month in the fact rows.';
comment on column analysis.tally.part is 'A year of many rows is cut into parts of 4096, from 0.';
comment on column analysis.tally.question is 'Name of the column of the fact row.';
comment on column analysis.tally.answer is 'What the column holds: yes or no as 1 or 0, the month as 1 to 12. Empty is -2 in what is measured (does not count), where -1 is not known, and -1 elsewhere (not answered).';
comment on column analysis.tally.records is 'One bit for each fact row of the part, in the order of their months and keys: 1 where it gave the answer.';

comment on column analysis.tally.block is 'Unit, year and part as one number.';

create table analysis.tally_due (
  mark bigint generated always as identity primary key,
  site_id smallint not null references access.site,
  year smallint not null
);
create index tally_due_year on analysis.tally_due (site_id, year);
comment on table analysis.tally_due is 'Years whose fact rows changed since they were tallied. Only ever added to and removed, so that writers never wait for each other.';
comment on column analysis.tally_due.mark is 'The number of the mark.';
comment on column analysis.tally_due.site_id is 'The unit.';
comment on column analysis.tally_due.year is 'The year of the month in the fact rows.';

create view analysis.tally_anew with (security_invoker = true) as
  with placed as (
    select f.*, extract(year from f.month)::smallint as year, row_number() over year_of_unit - 1 as place
    from analysis.fact f
    window year_of_unit as (partition by f.site_id, extract(year from f.month)::smallint order by f.month, f.encounter_id)
  ), sized as (
    select p.*, (p.place / 4096)::integer as part,
      repeat('0', (count(*) over (partition by p.site_id, p.year, p.place / 4096))::integer)::bit varying as none
    from placed p
  )
  select f.site_id, f.year, f.part, q.question, q.answer,
    bit_or(set_bit(f.none, (f.place % 4096)::integer, 1))::bit varying as records
  from sized f
  cross join lateral (values
    ('month', extract(month from f.month)::integer),
    ('fps', coalesce(f.fps, -2)), ('fps_strict', coalesce(f.fps_strict, -2)), ('fps_clean', coalesce(f.fps_clean, -2)),
    ('ae_any', coalesce(f.ae_any, -2)), ('event_count', coalesce(f.event_count, -2)),
    ('ae_severe_a', coalesce(f.ae_severe_a, -2)), ('ae_severe_b', coalesce(f.ae_severe_b, -2)),
    ('ae_severe_c', coalesce(f.ae_severe_c, -2)), ('success_2', coalesce(f.success_2, -2)),
    ('overall_success', coalesce(f.overall_success, -2)), ('attempts_3plus', coalesce(f.attempts_3plus, -2)),
    ('desat_80', coalesce(f.desat_80, -2)), ('desat_70', coalesce(f.desat_70, -2)),
    ('desat_20pt', coalesce(f.desat_20pt, -2)), ('oesophageal_any', coalesce(f.oesophageal_any, -2)),
    ('oesophageal_late', coalesce(f.oesophageal_late, -2)), ('capno_used', coalesce(f.capno_used, -2)),
    ('sustained_co2', coalesce(f.sustained_co2, -2)), ('checklist', coalesce(f.checklist, -2)),
    ('apnoeic_o2', coalesce(f.apnoeic_o2, -2)), ('nmb_used', coalesce(f.nmb_used, -2)),
    ('video_used', coalesce(f.video_used, -2)), ('screen_looked', coalesce(f.screen_looked, -2)),
    ('good_view_no_pass', coalesce(f.good_view_no_pass, -2)), ('room_for_tube', coalesce(f.room_for_tube, -2)),
    ('kit_failure_use', coalesce(f.kit_failure_use, -2)), ('device_mode', coalesce(f.device_mode, -1)),
    ('blade_geometry', coalesce(f.blade_geometry, -1)), ('blade_size', coalesce(f.blade_size, -1)),
    ('blade_material', coalesce(f.blade_material, -1)), ('blade_use', coalesce(f.blade_use, -1)),
    ('display_mounting', coalesce(f.display_mounting, -1)), ('look_target', coalesce(f.look_target, -1)),
    ('blade_tip', coalesce(f.blade_tip, -1)), ('operator_grade', coalesce(f.operator_grade, -1)),
    ('operator_experience', coalesce(f.operator_experience, -1)),
    ('operator_setup_uses', coalesce(f.operator_setup_uses, -1)),
    ('difficulty_predicted', coalesce(f.difficulty_predicted, -1)),
    ('limited_mouth_opening', coalesce(f.limited_mouth_opening, -1)), ('encounter_kind', coalesce(f.encounter_kind, -1)),
    ('location', coalesce(f.location, -1)), ('urgency', coalesce(f.urgency, -1)), ('age_band', coalesce(f.age_band, -1)),
    ('operator_profession', coalesce(f.operator_profession, -1)), ('supervision', coalesce(f.supervision, -1)),
    ('course_approach', coalesce(f.course_approach, -1)), ('light_source', coalesce(f.light_source, -1)),
    ('recorder_role', coalesce(f.recorder_role, -1)), ('indication_main', coalesce(f.indication_main, -1)),
    ('diagnosis_category', coalesce(f.diagnosis_category, -1)),
    ('cyanotic_heart_disease', coalesce(f.cyanotic_heart_disease, -1)),
    ('circulation_unstable', coalesce(f.circulation_unstable, -1)),
    ('difficult_airway_history', coalesce(f.difficult_airway_history, -1)),
    ('reduced_neck_extension', coalesce(f.reduced_neck_extension, -1)), ('micrognathia', coalesce(f.micrognathia, -1)),
    ('midface_hypoplasia', coalesce(f.midface_hypoplasia, -1)),
    ('upper_airway_obstruction', coalesce(f.upper_airway_obstruction, -1)), ('setup_no', coalesce(f.setup_no, -1)),
    ('nominal', f.nominal::integer)
  ) q (question, answer)
  group by f.site_id, f.year, f.part, q.question, q.answer;
comment on view analysis.tally_anew is 'What the tallies are made from, and compared with.';

create or replace function analysis.mark_due() returns trigger language plpgsql set search_path = pg_catalog as $$
begin
  insert into analysis.tally_due (site_id, year)
    select distinct r.site_id, extract(year from r.month)::smallint from changed r;
  return null;
end $$;
comment on function analysis.mark_due() is 'Marks the years of the rows that a statement touched.';

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
    insert into analysis.tally (site_id, year, part, question, answer, records)
      select a.* from analysis.tally_anew a where a.site_id = v_due.site_id and a.year = v_due.year;
    v_done := v_done + 1;
  end loop;
  return v_done;
end $$;
comment on function analysis.tally(integer) is 'Tallies marked years again, up to so many; tells how many. Nothing while another transaction does.';

insert into analysis.tally_due (site_id, year) select distinct f.site_id, extract(year from f.month)::smallint from analysis.fact f;

do $$
declare v_table text;
begin
  foreach v_table in array array['tally', 'tally_due'] loop
    execute format('alter table analysis.%I enable row level security', v_table);
    execute format('alter table analysis.%I force row level security', v_table);
    execute format('create policy owner_all on analysis.%I to ${owner} using (true) with check (true)', v_table);
    -- One bit for each row: see V018.
    execute format('create policy in_scope on analysis.%I to ${app} using (get_bit((select access.scope_bits()), site_id)::boolean) '
      'with check (site_id = any ((select access.scope())::smallint[]))', v_table);
    execute format('grant select, insert, delete on analysis.%I to ${app}', v_table);
  end loop;
end $$;
grant select on analysis.tally_anew to ${app};
revoke execute on function analysis.tally(integer) from public;
grant execute on function analysis.tally(integer) to ${app};
