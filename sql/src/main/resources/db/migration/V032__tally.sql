-- Keeps counts by unit, month, question and answer.
-- Why: a chart over years reads one row for each unit and month instead of all fact rows, so it takes as long with five
-- million records as with one. No number is ever old: who changes fact rows marks their month in the same transaction, and a
-- marked month is counted from the fact rows until it is tallied again.
create table analysis.tally (
  site_id smallint not null references access.site,
  month date not null,
  question text not null,
  answer smallint not null,
  records integer not null,
  nominal integer not null,
  fps bigint not null,
  fps_strict bigint not null,
  fps_clean bigint not null,
  ae_any bigint not null,
  ae_severe_a bigint not null,
  ae_severe_b bigint not null,
  ae_severe_c bigint not null,
  success_2 bigint not null,
  overall_success bigint not null,
  attempts_3plus bigint not null,
  desat_80 bigint not null,
  desat_70 bigint not null,
  desat_20pt bigint not null,
  oesophageal_any bigint not null,
  oesophageal_late bigint not null,
  capno_used bigint not null,
  sustained_co2 bigint not null,
  checklist bigint not null,
  apnoeic_o2 bigint not null,
  nmb_used bigint not null,
  video_used bigint not null,
  screen_looked bigint not null,
  good_view_no_pass bigint not null,
  room_for_tube bigint not null,
  kit_failure_use bigint not null,
  primary key (question, answer, site_id, month)
);
create index tally_month on analysis.tally (site_id, month);
comment on table analysis.tally is 'Fact rows counted by unit, month, and the answer to one question; question "" counts all of them.';
comment on column analysis.tally.site_id is 'The unit.';
comment on column analysis.tally.month is 'First day of the month, as in the fact rows.';
comment on column analysis.tally.question is 'Name of the coded variable, or empty for all rows.';
comment on column analysis.tally.answer is 'Number of the code; -1: not answered; 0 where there is no question.';
comment on column analysis.tally.records is 'Fact rows.';
comment on column analysis.tally.nominal is 'Of these, the ones whose date was made up for order only.';
comment on column analysis.tally.fps is 'Rows with fps = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.fps_strict is 'Rows with fps_strict = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.fps_clean is 'Rows with fps_clean = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.ae_any is 'Rows with ae_any = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.ae_severe_a is 'Rows with ae_severe_a = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.ae_severe_b is 'Rows with ae_severe_b = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.ae_severe_c is 'Rows with ae_severe_c = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.success_2 is 'Rows with success_2 = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.overall_success is 'Rows with overall_success = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.attempts_3plus is 'Rows with attempts_3plus = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.desat_80 is 'Rows with desat_80 = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.desat_70 is 'Rows with desat_70 = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.desat_20pt is 'Rows with desat_20pt = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.oesophageal_any is 'Rows with oesophageal_any = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.oesophageal_late is 'Rows with oesophageal_late = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.capno_used is 'Rows with capno_used = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.sustained_co2 is 'Rows with sustained_co2 = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.checklist is 'Rows with checklist = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.apnoeic_o2 is 'Rows with apnoeic_o2 = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.nmb_used is 'Rows with nmb_used = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.video_used is 'Rows with video_used = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.screen_looked is 'Rows with screen_looked = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.good_view_no_pass is 'Rows with good_view_no_pass = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.room_for_tube is 'Rows with room_for_tube = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';
comment on column analysis.tally.kit_failure_use is 'Rows with kit_failure_use = 1, plus 2^21 times those with 0 or 1, plus 2^42 times those with -1.';

create table analysis.tally_due (
  mark bigint generated always as identity primary key,
  site_id smallint not null references access.site,
  month date not null
);
create index tally_due_month on analysis.tally_due (site_id, month);
comment on table analysis.tally_due is 'Months whose fact rows changed since they were tallied. Only ever added to and removed, so that writers never wait for each other.';
comment on column analysis.tally_due.mark is 'The number of the mark.';
comment on column analysis.tally_due.site_id is 'The unit.';
comment on column analysis.tally_due.month is 'First day of the month.';

create view analysis.tally_anew with (security_invoker = true) as
  select
    f.site_id, f.month, q.question, q.answer::smallint as answer,
    count(*)::integer as records, (count(*) filter (where f.nominal))::integer as nominal,
    count(*) filter (where f.fps = 1) + (count(*) filter (where f.fps >= 0) << 21)
      + (count(*) filter (where f.fps < 0) << 42) as fps,
    count(*) filter (where f.fps_strict = 1) + (count(*) filter (where f.fps_strict >= 0) << 21)
      + (count(*) filter (where f.fps_strict < 0) << 42) as fps_strict,
    count(*) filter (where f.fps_clean = 1) + (count(*) filter (where f.fps_clean >= 0) << 21)
      + (count(*) filter (where f.fps_clean < 0) << 42) as fps_clean,
    count(*) filter (where f.ae_any = 1) + (count(*) filter (where f.ae_any >= 0) << 21)
      + (count(*) filter (where f.ae_any < 0) << 42) as ae_any,
    count(*) filter (where f.ae_severe_a = 1) + (count(*) filter (where f.ae_severe_a >= 0) << 21)
      + (count(*) filter (where f.ae_severe_a < 0) << 42) as ae_severe_a,
    count(*) filter (where f.ae_severe_b = 1) + (count(*) filter (where f.ae_severe_b >= 0) << 21)
      + (count(*) filter (where f.ae_severe_b < 0) << 42) as ae_severe_b,
    count(*) filter (where f.ae_severe_c = 1) + (count(*) filter (where f.ae_severe_c >= 0) << 21)
      + (count(*) filter (where f.ae_severe_c < 0) << 42) as ae_severe_c,
    count(*) filter (where f.success_2 = 1) + (count(*) filter (where f.success_2 >= 0) << 21)
      + (count(*) filter (where f.success_2 < 0) << 42) as success_2,
    count(*) filter (where f.overall_success = 1) + (count(*) filter (where f.overall_success >= 0) << 21)
      + (count(*) filter (where f.overall_success < 0) << 42) as overall_success,
    count(*) filter (where f.attempts_3plus = 1) + (count(*) filter (where f.attempts_3plus >= 0) << 21)
      + (count(*) filter (where f.attempts_3plus < 0) << 42) as attempts_3plus,
    count(*) filter (where f.desat_80 = 1) + (count(*) filter (where f.desat_80 >= 0) << 21)
      + (count(*) filter (where f.desat_80 < 0) << 42) as desat_80,
    count(*) filter (where f.desat_70 = 1) + (count(*) filter (where f.desat_70 >= 0) << 21)
      + (count(*) filter (where f.desat_70 < 0) << 42) as desat_70,
    count(*) filter (where f.desat_20pt = 1) + (count(*) filter (where f.desat_20pt >= 0) << 21)
      + (count(*) filter (where f.desat_20pt < 0) << 42) as desat_20pt,
    count(*) filter (where f.oesophageal_any = 1) + (count(*) filter (where f.oesophageal_any >= 0) << 21)
      + (count(*) filter (where f.oesophageal_any < 0) << 42) as oesophageal_any,
    count(*) filter (where f.oesophageal_late = 1) + (count(*) filter (where f.oesophageal_late >= 0) << 21)
      + (count(*) filter (where f.oesophageal_late < 0) << 42) as oesophageal_late,
    count(*) filter (where f.capno_used = 1) + (count(*) filter (where f.capno_used >= 0) << 21)
      + (count(*) filter (where f.capno_used < 0) << 42) as capno_used,
    count(*) filter (where f.sustained_co2 = 1) + (count(*) filter (where f.sustained_co2 >= 0) << 21)
      + (count(*) filter (where f.sustained_co2 < 0) << 42) as sustained_co2,
    count(*) filter (where f.checklist = 1) + (count(*) filter (where f.checklist >= 0) << 21)
      + (count(*) filter (where f.checklist < 0) << 42) as checklist,
    count(*) filter (where f.apnoeic_o2 = 1) + (count(*) filter (where f.apnoeic_o2 >= 0) << 21)
      + (count(*) filter (where f.apnoeic_o2 < 0) << 42) as apnoeic_o2,
    count(*) filter (where f.nmb_used = 1) + (count(*) filter (where f.nmb_used >= 0) << 21)
      + (count(*) filter (where f.nmb_used < 0) << 42) as nmb_used,
    count(*) filter (where f.video_used = 1) + (count(*) filter (where f.video_used >= 0) << 21)
      + (count(*) filter (where f.video_used < 0) << 42) as video_used,
    count(*) filter (where f.screen_looked = 1) + (count(*) filter (where f.screen_looked >= 0) << 21)
      + (count(*) filter (where f.screen_looked < 0) << 42) as screen_looked,
    count(*) filter (where f.good_view_no_pass = 1) + (count(*) filter (where f.good_view_no_pass >= 0) << 21)
      + (count(*) filter (where f.good_view_no_pass < 0) << 42) as good_view_no_pass,
    count(*) filter (where f.room_for_tube = 1) + (count(*) filter (where f.room_for_tube >= 0) << 21)
      + (count(*) filter (where f.room_for_tube < 0) << 42) as room_for_tube,
    count(*) filter (where f.kit_failure_use = 1) + (count(*) filter (where f.kit_failure_use >= 0) << 21)
      + (count(*) filter (where f.kit_failure_use < 0) << 42) as kit_failure_use
  from analysis.fact f
  cross join lateral (values
    ('', 0),
    ('device_mode', coalesce(f.device_mode, -1)),
    ('blade_geometry', coalesce(f.blade_geometry, -1)),
    ('blade_size', coalesce(f.blade_size, -1)),
    ('blade_material', coalesce(f.blade_material, -1)),
    ('blade_use', coalesce(f.blade_use, -1)),
    ('display_mounting', coalesce(f.display_mounting, -1)),
    ('look_target', coalesce(f.look_target, -1)),
    ('blade_tip', coalesce(f.blade_tip, -1)),
    ('operator_grade', coalesce(f.operator_grade, -1)),
    ('operator_experience', coalesce(f.operator_experience, -1)),
    ('operator_setup_uses', coalesce(f.operator_setup_uses, -1)),
    ('difficulty_predicted', coalesce(f.difficulty_predicted, -1)),
    ('limited_mouth_opening', coalesce(f.limited_mouth_opening, -1)),
    ('encounter_kind', coalesce(f.encounter_kind, -1)),
    ('location', coalesce(f.location, -1)),
    ('urgency', coalesce(f.urgency, -1)),
    ('age_band', coalesce(f.age_band, -1)),
    ('operator_profession', coalesce(f.operator_profession, -1)),
    ('supervision', coalesce(f.supervision, -1)),
    ('course_approach', coalesce(f.course_approach, -1)),
    ('light_source', coalesce(f.light_source, -1)),
    ('recorder_role', coalesce(f.recorder_role, -1)),
    ('indication_main', coalesce(f.indication_main, -1)),
    ('diagnosis_category', coalesce(f.diagnosis_category, -1)),
    ('cyanotic_heart_disease', coalesce(f.cyanotic_heart_disease, -1)),
    ('circulation_unstable', coalesce(f.circulation_unstable, -1)),
    ('difficult_airway_history', coalesce(f.difficult_airway_history, -1)),
    ('reduced_neck_extension', coalesce(f.reduced_neck_extension, -1)),
    ('micrognathia', coalesce(f.micrognathia, -1)),
    ('midface_hypoplasia', coalesce(f.midface_hypoplasia, -1)),
    ('upper_airway_obstruction', coalesce(f.upper_airway_obstruction, -1))
  ) q (question, answer)
  group by f.site_id, f.month, q.question, q.answer;
comment on view analysis.tally_anew is 'What the tallies are made from, and compared with.';

create function analysis.mark_due() returns trigger language plpgsql set search_path = pg_catalog as $$
begin
  insert into analysis.tally_due (site_id, month) select distinct r.site_id, r.month from changed r;
  return null;
end $$;
comment on function analysis.mark_due() is 'Marks the months of the rows that a statement touched.';
create trigger mark_due_added after insert on analysis.fact
  referencing new table as changed for each statement execute function analysis.mark_due();
create trigger mark_due_removed after delete on analysis.fact
  referencing old table as changed for each statement execute function analysis.mark_due();
create trigger mark_due_before after update on analysis.fact
  referencing old table as changed for each statement execute function analysis.mark_due();
create trigger mark_due_after after update on analysis.fact
  referencing new table as changed for each statement execute function analysis.mark_due();

-- The marks go first and the rows are counted after: what is written in between leaves a mark of its own.
create function analysis.tally(p_most integer) returns integer language plpgsql set search_path = pg_catalog as $$
declare
  v_due record;
  v_done integer := 0;
begin
  if not pg_try_advisory_xact_lock(hashtextextended('analysis.tally', 0)) then
    return 0;
  end if;
  for v_due in select distinct d.site_id, d.month from analysis.tally_due d limit p_most loop
    delete from analysis.tally_due d where (d.site_id, d.month) = (v_due.site_id, v_due.month);
    delete from analysis.tally t where (t.site_id, t.month) = (v_due.site_id, v_due.month);
    insert into analysis.tally
      select a.* from analysis.tally_anew a where a.site_id = v_due.site_id and a.month = v_due.month;
    v_done := v_done + 1;
  end loop;
  return v_done;
end $$;
comment on function analysis.tally(integer) is 'Tallies marked months again, up to so many; tells how many. Nothing while another transaction does.';

insert into analysis.tally_due (site_id, month) select distinct f.site_id, f.month from analysis.fact f;

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
revoke execute on function analysis.mark_due(), analysis.tally(integer) from public;
grant execute on function analysis.tally(integer) to ${app};
