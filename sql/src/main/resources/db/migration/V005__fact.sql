-- Makes the fact row: one narrow row per encounter with every measure's answer and the coded strata of attempt 1.
-- Why: charts and comparisons read only this table, so a measure is defined once and counted in one place.
create table analysis.code (
  variable text not null,
  code text not null,
  no smallint not null,
  primary key (variable, code),
  constraint code_no_unique unique (variable, no)
);
comment on table analysis.code is 'Small numbers of the coded strata; a number once given is never given again.';
comment on column analysis.code.variable is 'Name of the variable in the dictionary.';
comment on column analysis.code.code is 'Its code.';
comment on column analysis.code.no is 'The small number that stands for it in the fact row.';
insert into analysis.code (variable, code, no) values
  ('device_mode', 'direct', 1),
  ('device_mode', 'video_standard', 2),
  ('device_mode', 'video_hyper', 3),
  ('device_mode', 'video_channel', 4),
  ('device_mode', 'flexible', 5),
  ('device_mode', 'stylet', 6),
  ('device_mode', 'combined', 7),
  ('device_mode', 'sga', 8),
  ('device_mode', 'fona', 9),
  ('device_mode', 'other', 10),
  ('blade_geometry', 'straight', 1),
  ('blade_geometry', 'curved', 2),
  ('blade_geometry', 'hyper', 3),
  ('blade_geometry', 'na', 4),
  ('blade_geometry', 'other', 5),
  ('blade_size', '00', 1),
  ('blade_size', '0', 2),
  ('blade_size', '1', 3),
  ('blade_size', '2', 4),
  ('blade_size', '3', 5),
  ('blade_size', '4', 6),
  ('blade_size', '5', 7),
  ('blade_size', 'na', 8),
  ('blade_size', 'other', 9),
  ('blade_material', 'metal', 1),
  ('blade_material', 'plastic', 2),
  ('blade_material', 'mixed', 3),
  ('blade_material', 'na', 4),
  ('blade_material', 'unk', 5),
  ('blade_use', 'reusable', 1),
  ('blade_use', 'single_use', 2),
  ('blade_use', 'sheathed', 3),
  ('blade_use', 'na', 4),
  ('blade_use', 'unk', 5),
  ('display_mounting', 'none', 1),
  ('display_mounting', 'handle', 2),
  ('display_mounting', 'cable', 3),
  ('display_mounting', 'monitor', 4),
  ('display_mounting', 'wireless', 5),
  ('display_mounting', 'unk', 6),
  ('look_target', 'direct', 1),
  ('look_target', 'screen', 2),
  ('look_target', 'both', 3),
  ('look_target', 'unk', 4),
  ('blade_tip', 'vallecula', 1),
  ('blade_tip', 'epiglottis', 2),
  ('blade_tip', 'other', 3),
  ('blade_tip', 'unk', 4),
  ('blade_tip', 'na', 5),
  ('operator_grade', 'junior', 1),
  ('operator_grade', 'senior', 2),
  ('operator_grade', 'specialist', 3),
  ('operator_grade', 'non_doctor', 4),
  ('operator_grade', 'student', 5),
  ('operator_grade', 'unk', 6),
  ('operator_experience', 'lt10', 1),
  ('operator_experience', '10_24', 2),
  ('operator_experience', '25_100', 3),
  ('operator_experience', 'gt100', 4),
  ('operator_experience', 'unk', 5),
  ('operator_setup_uses', 'first', 1),
  ('operator_setup_uses', '1_5', 2),
  ('operator_setup_uses', '6_20', 3),
  ('operator_setup_uses', 'gt20', 4),
  ('operator_setup_uses', 'unk', 5),
  ('difficulty_predicted', 'yes', 1),
  ('difficulty_predicted', 'no', 2),
  ('difficulty_predicted', 'unk', 3),
  ('limited_mouth_opening', 'yes', 1),
  ('limited_mouth_opening', 'no', 2),
  ('limited_mouth_opening', 'unk', 3),
  ('encounter_kind', 'initial', 1),
  ('encounter_kind', 'reint_failed_ext', 2),
  ('encounter_kind', 'reint_unplanned', 3),
  ('encounter_kind', 'tube_change', 4),
  ('encounter_kind', 'other', 5),
  ('location', 'picu', 1),
  ('location', 'nicu', 2),
  ('location', 'icu_adult', 3),
  ('location', 'delivery', 4),
  ('location', 'ed', 5),
  ('location', 'theatre', 6),
  ('location', 'ward', 7),
  ('location', 'imaging', 8),
  ('location', 'transport', 9),
  ('location', 'other', 10),
  ('location', 'unk', 11),
  ('urgency', 'elective', 1),
  ('urgency', 'urgent', 2),
  ('urgency', 'emergency', 3),
  ('urgency', 'unk', 4),
  ('age_band', 'newborn_preterm', 1),
  ('age_band', 'newborn_term', 2),
  ('age_band', 'newborn_unknown_gestation', 3),
  ('age_band', 'infant', 4),
  ('age_band', 'child_1_7', 5),
  ('age_band', 'child_8_17', 6),
  ('age_band', 'adult', 7),
  ('age_band', 'unknown', 8);

create table analysis.fact (
  site_id smallint not null references access.site,
  encounter_id uuid not null,
  version integer not null,
  started_at timestamptz not null,
  day date not null,
  month date not null,
  nominal boolean not null,
  outside smallint
    constraint fact_outside_codes check (outside in (1, 2, 3)),
  fps smallint
    constraint fact_fps_codes check (fps in (-1, 0, 1)),
  fps_strict smallint
    constraint fact_fps_strict_codes check (fps_strict in (-1, 0, 1)),
  fps_clean smallint
    constraint fact_fps_clean_codes check (fps_clean in (-1, 0, 1)),
  tracheal_attempts smallint,
  spo2_lowest smallint,
  setup_no integer,
  device_mode smallint,
  blade_geometry smallint,
  blade_size smallint,
  blade_material smallint,
  blade_use smallint,
  display_mounting smallint,
  look_target smallint,
  blade_tip smallint,
  operator_grade smallint,
  operator_experience smallint,
  operator_setup_uses smallint,
  difficulty_predicted smallint,
  limited_mouth_opening smallint,
  encounter_kind smallint,
  location smallint,
  urgency smallint,
  age_band smallint,
  primary key (site_id, encounter_id),
  foreign key (site_id, encounter_id, version) references encounter.version
);
comment on table analysis.fact is 'One row per encounter that counts, worked out in the transaction that writes the version.';
comment on column analysis.fact.site_id is 'The unit.';
comment on column analysis.fact.encounter_id is 'The encounter.';
comment on column analysis.fact.version is 'The version this row was worked out from.';
comment on column analysis.fact.started_at is 'When the decision was made, for the order of encounters.';
comment on column analysis.fact.day is 'Day of the start in the zone of the unit.';
comment on column analysis.fact.month is 'First day of the month of the start in the zone of the unit.';
comment on column analysis.fact.nominal is 'The date was made up for order only.';
comment on column analysis.fact.outside is 'Why first-pass measures leave the encounter out by definition: 1 tube change, 2 no attempt, 3 first attempt not aimed at the trachea; null: it counts.';
comment on column analysis.fact.fps is 'First-pass success: 1 yes, 0 no, -1 not known, null outside.';
comment on column analysis.fact.fps_strict is 'First-pass success with exactly one tube pass: 1 yes, 0 no, -1 not known, null outside.';
comment on column analysis.fact.fps_clean is 'First-pass success without event or desaturation: 1 yes, 0 no, -1 not known, null outside.';
comment on column analysis.fact.tracheal_attempts is 'Tracheal attempts up to and including the first that succeeded; null when the result of one of them is not known.';
comment on column analysis.fact.spo2_lowest is 'Lowest saturation, %; null when not known.';
comment on column analysis.fact.setup_no is 'Set-up of attempt 1.';
comment on column analysis.fact.device_mode is 'Number of the code of device_mode in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.blade_geometry is 'Number of the code of blade_geometry in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.blade_size is 'Number of the code of blade_size in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.blade_material is 'Number of the code of blade_material in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.blade_use is 'Number of the code of blade_use in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.display_mounting is 'Number of the code of display_mounting in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.look_target is 'Number of the code of look_target in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.blade_tip is 'Number of the code of blade_tip in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.operator_grade is 'Number of the code of operator_grade in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.operator_experience is 'Number of the code of operator_experience in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.operator_setup_uses is 'Number of the code of operator_setup_uses in analysis.code, of attempt 1; null: not answered.';
comment on column analysis.fact.difficulty_predicted is 'Number of the code of difficulty_predicted in analysis.code; null: not answered.';
comment on column analysis.fact.limited_mouth_opening is 'Number of the code of limited_mouth_opening in analysis.code; null: not answered.';
comment on column analysis.fact.encounter_kind is 'Number of the code of encounter_kind in analysis.code; null: not answered.';
comment on column analysis.fact.location is 'Number of the code of location in analysis.code; null: not answered.';
comment on column analysis.fact.urgency is 'Number of the code of urgency in analysis.code; null: not answered.';
comment on column analysis.fact.age_band is 'Number of the code of age_band in analysis.code; null: not answered.';
create index fact_month on analysis.fact (site_id, month);
comment on index analysis.fact_month is 'Serves the series of a chart.';

alter table analysis.fact enable row level security;
alter table analysis.fact force row level security;
create policy owner_all on analysis.fact to ${owner} using (true) with check (true);
create policy in_scope on analysis.fact to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select, insert, update, delete on analysis.fact to ${app};
grant select on analysis.code to ${app};
