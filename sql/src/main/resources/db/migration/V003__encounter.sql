-- Makes device setups and the record: encounter, version, patient, course, drug, attempt, event.
-- Why: a version is a whole tree, inserted once and never changed; amending inserts the next one.
-- Columns, ranges and codes are those of the variable dictionary; a test compares them.

create table encounter.device_setup (
  site_id smallint not null references access.site,
  device_setup_id text not null
    constraint device_setup_id_form check (device_setup_id ~ '^[a-z0-9][a-z0-9_-]{0,63}$'),
  setup_no integer generated always as identity constraint device_setup_no_unique unique,
  title text not null
    constraint device_setup_title_length check (char_length(title) between 1 and 120),
  device_mode text
    constraint device_setup_device_mode_codes check (device_mode in ('direct', 'video_standard', 'video_hyper', 'video_channel', 'flexible', 'stylet', 'combined', 'sga', 'fona', 'other')),
  blade_geometry text
    constraint device_setup_blade_geometry_codes check (blade_geometry in ('straight', 'curved', 'hyper', 'na', 'other')),
  blade_size text
    constraint device_setup_blade_size_codes check (blade_size in ('00', '0', '1', '2', '3', '4', '5', 'na', 'other')),
  blade_material text
    constraint device_setup_blade_material_codes check (blade_material in ('metal', 'plastic', 'mixed', 'na', 'unk')),
  blade_use text
    constraint device_setup_blade_use_codes check (blade_use in ('reusable', 'single_use', 'sheathed', 'na', 'unk')),
  light_source text
    constraint device_setup_light_source_codes check (light_source in ('led_tip', 'fibre', 'bulb', 'unk', 'na')),
  display_mounting text
    constraint device_setup_display_mounting_codes check (display_mounting in ('none', 'handle', 'cable', 'monitor', 'wireless', 'unk')),
  created_at timestamptz not null default clock_timestamp(),
  created_by integer not null default access.current_actor() references access.actor,
  primary key (site_id, device_setup_id),
  constraint device_setup_title_unique unique (site_id, title),
  constraint device_setup_display_fits check (
    (display_mounting = 'none') is not true or (device_mode in ('video_standard', 'video_hyper', 'video_channel', 'combined')) is not true),
  constraint device_setup_direct_has_no_display check (
    (device_mode = 'direct') is not true or (display_mounting in ('handle', 'cable', 'monitor', 'wireless')) is not true),
  constraint device_setup_hyper_is_not_direct check (
    (device_mode = 'direct') is not true or (blade_geometry = 'hyper') is not true)
);
comment on table encounter.device_setup is 'A set-up of laryngoscope and screen that the unit uses, without names of makers.';
comment on column encounter.device_setup.site_id is 'The unit that uses it.';
comment on column encounter.device_setup.device_setup_id is 'Laryngoscope set-up: key of the set-up in the list of the unit.';
comment on column encounter.device_setup.setup_no is 'Small key of the set-up, for the fact rows.';
comment on column encounter.device_setup.title is 'What the unit calls it; no names of makers.';
comment on column encounter.device_setup.created_at is 'When it was added.';
comment on column encounter.device_setup.created_by is 'Who added it.';
comment on column encounter.device_setup.device_mode is 'Kind of laryngoscope. Whether the larynx can be seen directly, on a screen, or both, with this setup.';
comment on column encounter.device_setup.blade_geometry is 'Blade shape. Shape of the blade.';
comment on column encounter.device_setup.blade_size is 'Blade size. Size marked on the blade.';
comment on column encounter.device_setup.blade_material is 'Blade material. Material of the part that enters the mouth; kept apart from whether it is reused, because published comparisons confuse the two.';
comment on column encounter.device_setup.blade_use is 'Single use or reused. Whether the part that enters the mouth is thrown away or reprocessed.';
comment on column encounter.device_setup.light_source is 'Light. Kind of light at the blade; illumination has been proposed as the reason blades differ.';
comment on column encounter.device_setup.display_mounting is 'Where the screen is. How the display is carried.';

create table encounter.encounter (
  site_id smallint not null references access.site,
  encounter_id uuid not null,
  current_version integer not null,
  primary key (site_id, encounter_id)
);
comment on table encounter.encounter is 'Points to the version that counts. The only row of a record that is ever updated.';
comment on column encounter.encounter.site_id is 'The unit.';
comment on column encounter.encounter.encounter_id is 'System-generated key of one encounter, random.';
comment on column encounter.encounter.current_version is 'The version that counts.';

create table encounter.version (
  site_id smallint not null,
  encounter_id uuid not null,
  version integer not null
    constraint version_version_range check (version >= 1),
  status text not null
    constraint version_status_codes check (status in ('final', 'amended', 'entered-in-error')),
  recorded_at timestamptz not null,
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  dictionary_version text not null,
  source_row text
    constraint version_source_row_length check (char_length(source_row) between 1 and 200),
  salt uuid not null default gen_random_uuid(),
  confirmed text[] not null default '{}',
  encounter_start timestamptz not null,
  encounter_start_precision text
    constraint version_encounter_start_precision_codes check (encounter_start_precision in ('minute', 'day', 'month', 'nominal')),
  recorder_role text
    constraint version_recorder_role_codes check (recorder_role in ('operator', 'supervisor', 'assistant', 'observer', 'later_chart', 'unk')),
  encounter_kind text not null
    constraint version_encounter_kind_codes check (encounter_kind in ('initial', 'reint_failed_ext', 'reint_unplanned', 'tube_change', 'other')),
  location text
    constraint version_location_codes check (location in ('picu', 'nicu', 'icu_adult', 'delivery', 'ed', 'theatre', 'ward', 'imaging', 'transport', 'other', 'unk')),
  age_days integer
    constraint version_age_days_range check (age_days between 0 and 43830),
  age_hours smallint
    constraint version_age_hours_range check (age_hours between 0 and 72),
  age_precision text
    constraint version_age_precision_codes check (age_precision in ('exact', 'days', 'weeks', 'months', 'years', 'estimated')),
  weight_kg numeric
    constraint version_weight_kg_range check (weight_kg between 0.25 and 350),
  asa_class text
    constraint version_asa_class_codes check (asa_class in ('1', '2', '3', '4', '5', '6', 'unk')),
  diagnosis_category text
    constraint version_diagnosis_category_codes check (diagnosis_category in ('resp_lower', 'resp_upper', 'cardiac_med', 'cardiac_surg', 'neuro', 'sepsis', 'trauma', 'prematurity', 'congenital', 'surgical', 'arrest', 'toxic', 'other', 'unk')),
  cyanotic_heart_disease text
    constraint version_cyanotic_heart_disease_codes check (cyanotic_heart_disease in ('yes', 'no', 'unk')),
  indication text[]
    constraint version_indication_codes check (indication <@ array['oxygenation', 'ventilation', 'apnoea', 'obstruction_now', 'obstruction_risk', 'consciousness', 'shock', 'arrest', 'procedure', 'neuro_control', 'surfactant', 'device_fault', 'agitation', 'other']
    and cardinality(indication) > 0),
  indication_main text
    constraint version_indication_main_codes check (indication_main in ('oxygenation', 'ventilation', 'apnoea', 'obstruction_now', 'obstruction_risk', 'consciousness', 'shock', 'arrest', 'procedure', 'neuro_control', 'surfactant', 'device_fault', 'agitation', 'other')),
  urgency text
    constraint version_urgency_codes check (urgency in ('elective', 'urgent', 'emergency', 'unk')),
  circulation_unstable text
    constraint version_circulation_unstable_codes check (circulation_unstable in ('yes', 'no', 'unk')),
  difficult_airway_history text
    constraint version_difficult_airway_history_codes check (difficult_airway_history in ('yes', 'no', 'unk')),
  difficulty_predicted text
    constraint version_difficulty_predicted_codes check (difficulty_predicted in ('yes', 'no', 'unk')),
  difficulty_written_before text
    constraint version_difficulty_written_before_codes check (difficulty_written_before in ('yes', 'no', 'unk')),
  limited_mouth_opening text
    constraint version_limited_mouth_opening_codes check (limited_mouth_opening in ('yes', 'no', 'unk')),
  reduced_neck_extension text
    constraint version_reduced_neck_extension_codes check (reduced_neck_extension in ('yes', 'no', 'unk')),
  micrognathia text
    constraint version_micrognathia_codes check (micrognathia in ('yes', 'no', 'unk')),
  midface_hypoplasia text
    constraint version_midface_hypoplasia_codes check (midface_hypoplasia in ('yes', 'no', 'unk')),
  upper_airway_obstruction text
    constraint version_upper_airway_obstruction_codes check (upper_airway_obstruction in ('yes', 'no', 'unk')),
  other_difficult_features text[]
    constraint version_other_difficult_features_codes check (other_difficult_features <@ array['none', 'large_tongue', 'facial_injury', 'spine_precaution', 'airway_mass', 'subglottic', 'obesity', 'soiled', 'access', 'syndrome', 'other']
    and cardinality(other_difficult_features) > 0),
  mask_ventilation text
    constraint version_mask_ventilation_codes check (mask_ventilation in ('easy', 'hard', 'impossible', 'not_tried', 'unk')),
  final_airway text
    constraint version_final_airway_codes check (final_airway in ('oral', 'nasal', 'sga', 'mask', 'front_of_neck', 'stoma', 'own', 'died')),
  spo2_lowest_overall smallint
    constraint version_spo2_lowest_overall_range check (spo2_lowest_overall between 0 and 100),
  adverse_event_any text
    constraint version_adverse_event_any_codes check (adverse_event_any in ('yes', 'no', 'unk')),
  tube_depth_cm numeric
    constraint version_tube_depth_cm_range check (tube_depth_cm between 4 and 35),
  unknown text[] not null default '{}',
  primary key (site_id, encounter_id, version),
  foreign key (site_id, encounter_id) references encounter.encounter
);
comment on table encounter.version is 'One version of a record, with the variables of the encounter.';
comment on column encounter.version.site_id is 'The unit.';
comment on column encounter.version.encounter_id is 'The encounter.';
comment on column encounter.version.version is 'Version of the whole record.';
comment on column encounter.version.status is 'Composition status: final, amended, entered-in-error.';
comment on column encounter.version.recorded_at is 'Record finalised. When the record was first made final; set by the system and used for the timeliness measure.';
comment on column encounter.version.recorded_by is 'Who wrote this version.';
comment on column encounter.version.written_at is 'When this version was written, by the clock of the database.';
comment on column encounter.version.dictionary_version is 'Version of these definitions. Version of the variable dictionary in force when this version was written.';
comment on column encounter.version.source_row is 'Where an imported record came from: name of the source and key of its row.';
comment on column encounter.version.salt is 'Makes the audit hash meaningless once the record is erased.';
comment on column encounter.version.confirmed is 'Pointers of unlikely values that the recorder confirmed.';
comment on column encounter.version.unknown is 'Variables asked and not known.';
comment on column encounter.version.encounter_start is 'Decision to secure the airway. When the team agreed to secure the airway; asked, never taken from the clock of the form. The encounter runs from here until the airway is stable and nothing further is needed at once.';
comment on column encounter.version.encounter_start_precision is 'How precisely the start is known. minute unless said otherwise; nominal = a date made up for order only (imported data without dates), told on every chart of such records.';
comment on column encounter.version.recorder_role is 'Who filled in the record. Whether the facts come from the operator or from somebody watching; self-report and observer report differ and must be separable.';
comment on column encounter.version.encounter_kind is 'Kind of encounter. Separates a first intubation from a repeat one and from a planned tube change, which most published rates leave out.';
comment on column encounter.version.location is 'Place. Where the procedure took place.';
comment on column encounter.version.age_days is 'Age in completed days. Time since birth at the encounter in completed days (chronological age); the day of birth is 0. Computed from the birth date or from an age typed in other units. Unit d.';
comment on column encounter.version.age_hours is 'Age in completed hours. Time since birth in completed hours, asked in the first three days because minutes-old and day-old infants are different populations. Unit h.';
comment on column encounter.version.age_precision is 'How precisely the age is known. Smallest unit in which the age was really known, so that an age typed in years is not analysed as days.';
comment on column encounter.version.weight_kg is 'Weight. Weight used for care at the encounter. Unit kg.';
comment on column encounter.version.asa_class is 'ASA physical status class. Anaesthetic physical status class; most useful for theatre cases and poorly reproducible in critical illness.';
comment on column encounter.version.diagnosis_category is 'Main diagnosis group. Broad group of the main illness; free-text diagnoses are not collected.';
comment on column encounter.version.cyanotic_heart_disease is 'Cyanotic heart disease. Low baseline saturation by anatomy; fixed saturation thresholds cannot be read the same way, so falls from baseline are used.';
comment on column encounter.version.indication is 'Reasons for intubation. All reasons that applied.';
comment on column encounter.version.indication_main is 'Leading reason. The one reason that decided it; must be among those ticked.';
comment on column encounter.version.urgency is 'Urgency. How much time there was.';
comment on column encounter.version.circulation_unstable is 'Unstable circulation before. Hypotension or vasoactive support before the first drug or attempt.';
comment on column encounter.version.difficult_airway_history is 'Known difficult airway. An earlier difficult intubation is on record or reported.';
comment on column encounter.version.difficulty_predicted is 'Difficulty expected beforehand. The team''s own expectation, stated before the first attempt; must not be filled in from how it went.';
comment on column encounter.version.difficulty_written_before is 'Expectation written down beforehand. Whether the expectation was written or said aloud before the first attempt (briefing, checklist) rather than remembered afterwards; comparisons adjusted for expected difficulty are shown with and without those remembered.';
comment on column encounter.version.limited_mouth_opening is 'Limited mouth opening. Mouth opening judged to restrict blade or tube.';
comment on column encounter.version.reduced_neck_extension is 'Reduced neck extension. Neck extension restricted by disease or by spine precautions.';
comment on column encounter.version.micrognathia is 'Small jaw. Mandible clearly small or set back.';
comment on column encounter.version.midface_hypoplasia is 'Midface underdevelopment. Flat or small midface, including craniofacial syndromes.';
comment on column encounter.version.upper_airway_obstruction is 'Signs of upper airway obstruction. Stridor, stertor or visible obstruction before the attempt.';
comment on column encounter.version.other_difficult_features is 'Other difficult features. Further features judged to make laryngoscopy, ventilation or access difficult; ''looked for, none'' is a real answer and differs from blank.';
comment on column encounter.version.mask_ventilation is 'Face-mask ventilation. How hard ventilation by mask was when it was tried.';
comment on column encounter.version.final_airway is 'Airway at the end. Airway in use when the encounter ended.';
comment on column encounter.version.spo2_lowest_overall is 'Lowest saturation of the encounter. Asked only when it is not known for each attempt; otherwise computed as the lowest of the attempts and the times between them. Unit %.';
comment on column encounter.version.adverse_event_any is 'Any adverse event. Explicit answer for the event window (from the first drug or device until 30 minutes after the last attempt; ours): the list of events is shown, with ''none of these happened'' and ''not known'' beside it, so that an empty list can never pass for ''no event''.';
comment on column encounter.version.tube_depth_cm is 'Tube depth at lips or nostril. Depth mark where the tube was fixed. Unit cm.';

alter table encounter.encounter add constraint encounter_current_version
  foreign key (site_id, encounter_id, current_version) references encounter.version deferrable initially deferred;

create unique index version_source_row_unique on encounter.version (site_id, source_row) where version = 1;
comment on index encounter.version_source_row_unique is 'Serves import: the same row of the same source is taken once.';

create table encounter.patient (
  site_id smallint not null,
  encounter_id uuid not null,
  version integer not null,
  sex text
    constraint patient_sex_codes check (sex in ('f', 'm', 'other', 'unk')),
  gestation_weeks smallint
    constraint patient_gestation_weeks_range check (gestation_weeks between 20 and 45),
  gestation_days smallint
    constraint patient_gestation_days_range check (gestation_days between 0 and 6),
  research_opt_out text
    constraint patient_research_opt_out_codes check (research_opt_out in ('yes', 'no', 'unk')),
  unknown text[] not null default '{}',
  primary key (site_id, encounter_id, version),
  foreign key (site_id, encounter_id, version) references encounter.version
);
comment on table encounter.patient is 'What is known of the patient at this encounter; no direct identifier is kept.';
comment on column encounter.patient.site_id is 'The unit.';
comment on column encounter.patient.encounter_id is 'The encounter.';
comment on column encounter.patient.version is 'Version of the whole record.';
comment on column encounter.patient.unknown is 'Variables asked and not known.';
comment on column encounter.patient.sex is 'Sex. Sex as recorded in the health record.';
comment on column encounter.patient.gestation_weeks is 'Gestation at birth, completed weeks. Time from the first day of the last menstrual period to birth in completed weeks, never rounded up: 25 weeks 5 days is 25. Unit wk.';
comment on column encounter.patient.gestation_days is 'Gestation at birth, extra days. Days beyond the completed weeks of gestation; blank when only the weeks are known. Unit d.';
comment on column encounter.patient.research_opt_out is 'Opted out of research export. Whether the patient or family has asked that the record not leave the site for research; yes or unknown keeps it out of every export.';

create table encounter.course (
  site_id smallint not null,
  encounter_id uuid not null,
  version integer not null,
  course_no smallint not null
    constraint course_course_no_range check (course_no between 1 and 15),
  course_approach text not null
    constraint course_course_approach_codes check (course_approach in ('oral', 'nasal', 'sga', 'via_sga', 'front_of_neck', 'stoma')),
  checklist_used text
    constraint course_checklist_used_codes check (checklist_used in ('used', 'not_used', 'none', 'unk')),
  preoxygenation text[]
    constraint course_preoxygenation_codes check (preoxygenation <@ array['none', 'mask', 'bag_mask', 'niv', 'hfnc', 'ventilator', 'unk']
    and cardinality(preoxygenation) > 0),
  apnoeic_oxygenation text
    constraint course_apnoeic_oxygenation_codes check (apnoeic_oxygenation in ('none', 'nasal_low', 'nasal_high', 'blade', 'niv', 'unk')),
  head_position text[]
    constraint course_head_position_codes check (head_position <@ array['neutral', 'sniffing', 'shoulder_roll', 'head_up', 'inline', 'lateral', 'other', 'unk']
    and cardinality(head_position) > 0),
  neuromuscular_block text
    constraint course_neuromuscular_block_codes check (neuromuscular_block in ('yes', 'no', 'unk')),
  spo2_best_before smallint
    constraint course_spo2_best_before_range check (spo2_best_before between 0 and 100),
  course_result text
    constraint course_course_result_codes check (course_result in ('success', 'changed', 'stopped', 'died')),
  unknown text[] not null default '{}',
  primary key (site_id, encounter_id, version, course_no),
  foreign key (site_id, encounter_id, version) references encounter.version
);
comment on table encounter.course is 'One approach together with one plan of drugs.';
comment on column encounter.course.site_id is 'The unit.';
comment on column encounter.course.encounter_id is 'The encounter.';
comment on column encounter.course.version is 'Version of the whole record.';
comment on column encounter.course.course_no is 'Course number in the encounter, from 1.';
comment on column encounter.course.unknown is 'Variables asked and not known.';
comment on column encounter.course.course_approach is 'Approach. The one approach of this course.';
comment on column encounter.course.checklist_used is 'Written checklist. Whether a written challenge-and-response list was read aloud before the first attempt.';
comment on column encounter.course.preoxygenation is 'Oxygen before the attempt. Ways oxygen was given before the first attempt of the course.';
comment on column encounter.course.apnoeic_oxygenation is 'Oxygen during the attempt. Oxygen or flow given while the blade was in the mouth.';
comment on column encounter.course.head_position is 'Position. Head and body position for the first attempt of the course.';
comment on column encounter.course.neuromuscular_block is 'Muscle relaxant working at the attempt. Whether a neuromuscular blocking drug had been given and had time to act before the first attempt of the course.';
comment on column encounter.course.spo2_best_before is 'Best saturation before the first attempt. Highest pulse-oximeter reading after preparation and before the blade went in; the baseline for a fall of 20 points. Unit %.';
comment on column encounter.course.course_result is 'Course result. How the course ended.';

create table encounter.drug (
  site_id smallint not null,
  encounter_id uuid not null,
  version integer not null,
  course_no smallint not null,
  drug_no smallint not null
    constraint drug_drug_no_range check (drug_no between 1 and 40),
  drug_agent text not null
    constraint drug_drug_agent_codes check (drug_agent in ('none', 'atropine', 'glycopyrronium', 'fentanyl', 'morphine', 'remifentanil', 'ketamine', 'propofol', 'midazolam', 'etomidate', 'thiopental', 'dexmedetomidine', 'volatile', 'lidocaine', 'rocuronium', 'vecuronium', 'cisatracurium', 'suxamethonium', 'adrenaline', 'sugammadex', 'other')),
  drug_dose numeric
    constraint drug_drug_dose_range check (drug_dose between 0 and 100000),
  drug_dose_unit text
    constraint drug_drug_dose_unit_codes check (drug_dose_unit in ('mg', 'ug', 'ng', 'mL')),
  unknown text[] not null default '{}',
  primary key (site_id, encounter_id, version, course_no, drug_no),
  foreign key (site_id, encounter_id, version, course_no) references encounter.course
);
comment on table encounter.drug is 'A drug given in a course.';
comment on column encounter.drug.site_id is 'The unit.';
comment on column encounter.drug.encounter_id is 'The encounter.';
comment on column encounter.drug.version is 'Version of the whole record.';
comment on column encounter.drug.course_no is 'The course it was given in.';
comment on column encounter.drug.drug_no is 'Its place in the list, from 1.';
comment on column encounter.drug.unknown is 'Variables asked and not known.';
comment on column encounter.drug.drug_agent is 'Drug. One row per drug given for the airway procedure, by generic name; a course with no drugs has a single ''none'' row.';
comment on column encounter.drug.drug_dose is 'Dose. Total amount given; recorded, never suggested. Plausibility is judged only against the site''s own earlier records, to catch slips of the decimal point.';
comment on column encounter.drug.drug_dose_unit is 'Dose unit. Unit of the dose as UCUM code.';

create table encounter.attempt (
  site_id smallint not null,
  encounter_id uuid not null,
  version integer not null,
  attempt_no smallint not null
    constraint attempt_attempt_no_range check (attempt_no between 1 and 30),
  course_no smallint not null,
  device_setup_id text,
  operator_profession text
    constraint attempt_operator_profession_codes check (operator_profession in ('critical_care', 'anaesthesia', 'neonatal', 'emergency', 'paediatrics', 'ent', 'adv_practitioner', 'nurse_anaesthesia', 'nurse', 'resp_therapist', 'paramedic', 'other', 'unk')),
  attempt_duration_s smallint
    constraint attempt_attempt_duration_s_range check (attempt_duration_s between 1 and 1800),
  attempt_duration_end text
    constraint attempt_attempt_duration_end_codes check (attempt_duration_end in ('blade_out', 'tube_placed', 'co2', 'confirmed', 'unk')),
  operator_grade text
    constraint attempt_operator_grade_codes check (operator_grade in ('junior', 'senior', 'specialist', 'non_doctor', 'student', 'unk')),
  operator_experience text
    constraint attempt_operator_experience_codes check (operator_experience in ('lt10', '10_24', '25_100', 'gt100', 'unk')),
  operator_setup_uses text
    constraint attempt_operator_setup_uses_codes check (operator_setup_uses in ('first', '1_5', '6_20', 'gt20', 'unk')),
  supervision text
    constraint attempt_supervision_codes check (supervision in ('in_room', 'hands_on', 'nearby', 'none', 'not_needed', 'unk')),
  look_target text
    constraint attempt_look_target_codes check (look_target in ('direct', 'screen', 'both', 'unk')),
  blade_tip text
    constraint attempt_blade_tip_codes check (blade_tip in ('vallecula', 'epiglottis', 'other', 'unk', 'na')),
  adjuncts text[]
    constraint attempt_adjuncts_codes check (adjuncts <@ array['none', 'stylet', 'bougie', 'larynx_pressure', 'cricoid', 'forceps', 'suction', 'flexible', 'other']
    and cardinality(adjuncts) > 0),
  view_direct text
    constraint attempt_view_direct_codes check (view_direct in ('1', '2a', '2b', '3a', '3b', '4', 'not_looked', 'unk')),
  view_screen text
    constraint attempt_view_screen_codes check (view_screen in ('1', '2a', '2b', '3a', '3b', '4', 'not_looked', 'unk')),
  pogo_direct smallint
    constraint attempt_pogo_direct_range check (pogo_direct between 0 and 100),
  pogo_screen smallint
    constraint attempt_pogo_screen_range check (pogo_screen between 0 and 100),
  tube_passes smallint
    constraint attempt_tube_passes_range check (tube_passes between 0 and 20),
  tube_size_mm numeric
    constraint attempt_tube_size_mm_range check (tube_size_mm between 2 and 10),
  tube_cuff text
    constraint attempt_tube_cuff_codes check (tube_cuff in ('cuffed', 'uncuffed', 'unk')),
  space_for_tube text
    constraint attempt_space_for_tube_codes check (space_for_tube in ('1', '2', '3', '4', '5', 'unk')),
  tube_delivery text
    constraint attempt_tube_delivery_codes check (tube_delivery in ('1', '2', '3', '4', '5', 'unk')),
  spo2_start smallint
    constraint attempt_spo2_start_range check (spo2_start between 0 and 100),
  spo2_lowest smallint
    constraint attempt_spo2_lowest_range check (spo2_lowest between 0 and 100),
  spo2_quality text
    constraint attempt_spo2_quality_codes check (spo2_quality in ('good', 'poor', 'none', 'unk')),
  attempt_success text not null
    constraint attempt_attempt_success_codes check (attempt_success in ('yes', 'no', 'unk')),
  tube_position text
    constraint attempt_tube_position_codes check (tube_position in ('trachea', 'oesophagus', 'bronchus', 'pharynx', 'unk')),
  failure_reason text[]
    constraint attempt_failure_reason_codes check (failure_reason <@ array['no_view', 'view_no_pass', 'tube_size', 'secretions', 'desaturation', 'bradycardia', 'patient_moving', 'kit', 'time', 'dislodged', 'wrong_place', 'handover', 'other', 'unk']
    and cardinality(failure_reason) > 0),
  confirmation text[]
    constraint attempt_confirmation_codes check (confirmation <@ array['waveform', 'colour', 'number', 'auscultation', 'chest', 'seen', 'scope', 'ultrasound', 'xray', 'heart_rate', 'none', 'unk']
    and cardinality(confirmation) > 0),
  sustained_co2 text
    constraint attempt_sustained_co2_codes check (sustained_co2 in ('yes', 'no', 'unk')),
  changes_before_next text[]
    constraint attempt_changes_before_next_codes check (changes_before_next <@ array['none', 'operator', 'device', 'blade_size', 'adjunct', 'tube_size', 'position', 'drugs', 'oxygenation', 'approach', 'help', 'unk']
    and cardinality(changes_before_next) > 0),
  kit_issue text[]
    constraint attempt_kit_issue_codes check (kit_issue <@ array['none', 'battery', 'fogging', 'lens_soiled', 'screen', 'cable', 'light', 'missing', 'wrong_size', 'recording', 'suction', 'other']
    and cardinality(kit_issue) > 0),
  kit_issue_effect text
    constraint attempt_kit_issue_effect_codes check (kit_issue_effect in ('no_effect', 'delay', 'changed', 'lost_attempt', 'harm', 'unk')),
  footage_recorded text
    constraint attempt_footage_recorded_codes check (footage_recorded in ('yes', 'no', 'unk')),
  footage_reference text
    constraint attempt_footage_reference_length check (char_length(footage_reference) between 1 and 64),
  unknown text[] not null default '{}',
  primary key (site_id, encounter_id, version, attempt_no),
  foreign key (site_id, encounter_id, version, course_no) references encounter.course,
  foreign key (site_id, device_setup_id) references encounter.device_setup
);
comment on table encounter.attempt is 'One airway manoeuvre, from device in to device out.';
comment on column encounter.attempt.site_id is 'The unit.';
comment on column encounter.attempt.encounter_id is 'The encounter.';
comment on column encounter.attempt.version is 'Version of the whole record.';
comment on column encounter.attempt.attempt_no is 'Attempt number through the whole encounter, from 1.';
comment on column encounter.attempt.course_no is 'The course it belongs to.';
comment on column encounter.attempt.device_setup_id is 'Laryngoscope set-up: the set-up used, from the list of the unit.';
comment on column encounter.attempt.unknown is 'Variables asked and not known.';
comment on column encounter.attempt.operator_profession is 'Profession. Professional group of the operator.';
comment on column encounter.attempt.attempt_duration_s is 'Duration. Seconds from blade (or device) passing the teeth or gums until it came out or, when successful, until the tube was confirmed; state which in attempt_duration_end. Unit s.';
comment on column encounter.attempt.attempt_duration_end is 'Duration stopped at. The clock-stop used, since published times differ by it.';
comment on column encounter.attempt.operator_grade is 'Grade of the operator at the time. Training grade on the day; copied into the attempt so that later promotion does not rewrite history.';
comment on column encounter.attempt.operator_experience is 'Intubations done before. The operator''s own count of previous intubations in patients, in bands used by published trials.';
comment on column encounter.attempt.operator_setup_uses is 'Earlier uses of this setup. Previous clinical uses of this same device setup by this operator; experience overall and with the setup are different things.';
comment on column encounter.attempt.supervision is 'Supervision. Presence of someone able to take over.';
comment on column encounter.attempt.look_target is 'Where the operator looked. Whether the tube was guided by direct sight, by the screen, or both; carrying a screen does not mean it was used.';
comment on column encounter.attempt.blade_tip is 'Blade tip. Where the tip was when the best view was had; placement is independent of blade shape.';
comment on column encounter.attempt.adjuncts is 'Aids used. Aids used in this attempt.';
comment on column encounter.attempt.view_direct is 'Best direct view. Best view by eye in this attempt, modified Cormack-Lehane grade; ''not looked'' is an answer and is not grade 4.';
comment on column encounter.attempt.view_screen is 'Best screen view. Best view on the screen, same grades but kept separate: a direct grade and a screen grade are not interchangeable.';
comment on column encounter.attempt.pogo_direct is 'Glottic opening seen directly. Share of the glottic opening seen by eye, 0 to 100. Unit %.';
comment on column encounter.attempt.pogo_screen is 'Glottic opening seen on screen. Share of the glottic opening seen on the screen, 0 to 100. Unit %.';
comment on column encounter.attempt.tube_passes is 'Times the tube was advanced. How often a tube, or tube over an aid, was advanced towards the larynx during this one blade insertion; 0 means view only. Needed for the strict first-pass definition. Unit {count}.';
comment on column encounter.attempt.tube_size_mm is 'Tube inner diameter. Inner diameter of the tube used in this attempt. Unit mm.';
comment on column encounter.attempt.tube_cuff is 'Tube cuff. Whether the tube has a cuff.';
comment on column encounter.attempt.space_for_tube is 'Room for the tube. Room left in the mouth for the tube beside the blade, five-point judgement.';
comment on column encounter.attempt.tube_delivery is 'Difficulty of passing the tube. Difficulty of steering the tube once the larynx was seen, five-point judgement; separate from the view.';
comment on column encounter.attempt.spo2_start is 'Saturation at start. Pulse-oximeter reading when the blade went in. Unit %.';
comment on column encounter.attempt.spo2_lowest is 'Lowest saturation. Lowest reading from device in until two minutes after the attempt ended, since oximeters lag. The same window is printed on the form and beside every saturation measure. Unit %.';
comment on column encounter.attempt.spo2_quality is 'Saturation signal. Whether the reading could be trusted.';
comment on column encounter.attempt.attempt_success is 'Attempt successful. Yes when the airway device of this attempt was placed where intended and confirmed; a tube in the trachea that came out before confirmation is no.';
comment on column encounter.attempt.tube_position is 'Where the tube went. First position of the tube in this attempt.';
comment on column encounter.attempt.failure_reason is 'Why it did not succeed. Reasons the attempt ended without success.';
comment on column encounter.attempt.confirmation is 'How position was confirmed. All methods used.';
comment on column encounter.attempt.sustained_co2 is 'Sustained exhaled CO2 seen. All four hold: rises in expiration and falls in inspiration; steady or growing over at least seven breaths; peak more than 1 kPa (7.5 mmHg) above baseline; fits the clinical picture.';
comment on column encounter.attempt.changes_before_next is 'Changed before the next attempt. What was changed after this attempt failed.';
comment on column encounter.attempt.kit_issue is 'Kit problems. Equipment faults met in this attempt; ''none'' must be ticked to count as checked.';
comment on column encounter.attempt.kit_issue_effect is 'Effect of the kit problem. Worst effect of the kit problem.';
comment on column encounter.attempt.footage_recorded is 'Footage recorded. Whether images of this attempt were saved.';
comment on column encounter.attempt.footage_reference is 'Footage file label. Label the site''s own store gave the file; checked to hold no name or number of a patient. The footage itself is never held in the registry.';

create table encounter.event (
  site_id smallint not null,
  encounter_id uuid not null,
  version integer not null,
  event_no smallint not null
    constraint event_event_no_range check (event_no between 1 and 60),
  event_type text not null
    constraint event_event_type_codes check (event_type in ('arrest_rosc', 'arrest_death', 'cannot_oxygenate', 'front_of_neck_emergency', 'oesophageal_late', 'aspiration', 'hypotension_treated', 'laryngospasm', 'malignant_hyperthermia', 'pneumothorax', 'dental_trauma', 'airway_injury', 'bronchial', 'oesophageal_now', 'vomiting', 'bradycardia', 'dysrhythmia', 'hypertension_treated', 'epistaxis', 'lip_trauma', 'drug_error', 'pain_delay', 'kit_failure', 'other')),
  event_attempt_no smallint
    constraint event_event_attempt_no_range check (event_attempt_no between 0 and 30),
  event_detection text
    constraint event_event_detection_codes check (event_detection in ('monitor', 'co2', 'clinical', 'imaging', 'footage', 'later', 'unk')),
  event_intervention text[]
    constraint event_event_intervention_codes check (event_intervention <@ array['none', 'ventilation', 'tube_out', 'tube_moved', 'compressions', 'fluid', 'vasoactive', 'drug_other', 'drain', 'suction', 'sga', 'front_of_neck', 'other']
    and cardinality(event_intervention) > 0),
  event_outcome text
    constraint event_event_outcome_codes check (event_outcome in ('resolved', 'continuing', 'temporary_harm', 'lasting_harm', 'died', 'unk')),
  unknown text[] not null default '{}',
  primary key (site_id, encounter_id, version, event_no),
  foreign key (site_id, encounter_id, version) references encounter.version
);
comment on table encounter.event is 'An adverse event; its severity follows from the type by the scheme in force.';
comment on column encounter.event.site_id is 'The unit.';
comment on column encounter.event.encounter_id is 'The encounter.';
comment on column encounter.event.version is 'Version of the whole record.';
comment on column encounter.event.event_no is 'Its place in the list, from 1.';
comment on column encounter.event.unknown is 'Variables asked and not known.';
comment on column encounter.event.event_type is 'Event. One row per event. Severity is not typed: it follows from the type by the scheme in force (see definitions).';
comment on column encounter.event.event_attempt_no is 'During or after attempt. Attempt in or after which the event arose; 0 means before the first attempt.';
comment on column encounter.event.event_detection is 'Noticed by. How the event was first noticed.';
comment on column encounter.event.event_intervention is 'Done about it. Actions taken because of the event.';
comment on column encounter.event.event_outcome is 'Result for the patient. State when the record was closed.';

create table encounter.request (
  site_id smallint not null references access.site,
  actor_id integer not null default access.current_actor() references access.actor,
  route text not null
    constraint request_route_length check (char_length(route) between 1 and 80),
  key text not null
    constraint request_key_length check (char_length(key) between 22 and 200),
  fingerprint text not null
    constraint request_fingerprint_length check (char_length(fingerprint) = 64),
  encounter_id uuid not null,
  version integer not null,
  answered_at timestamptz not null default clock_timestamp(),
  primary key (actor_id, route, key),
  foreign key (site_id, encounter_id, version) references encounter.version
);
comment on table encounter.request is 'A request that was answered with success, so that sending it again changes nothing.';
comment on column encounter.request.site_id is 'The unit.';
comment on column encounter.request.actor_id is 'Who sent it.';
comment on column encounter.request.route is 'What was asked for.';
comment on column encounter.request.key is 'The idempotency key.';
comment on column encounter.request.fingerprint is 'SHA-256 of the request body in canonical form, hexadecimal; never the body itself.';
comment on column encounter.request.encounter_id is 'The record that answered it.';
comment on column encounter.request.version is 'The version that answered it.';
comment on column encounter.request.answered_at is 'When.';

-- Only rows of the units in scope exist for the application; and of versions it may add and read, nothing else.
do $$
declare
  t text;
begin
  foreach t in array array['device_setup', 'encounter', 'version', 'patient', 'course', 'drug', 'attempt', 'event', 'request'] loop
    execute format('alter table encounter.%I enable row level security', t);
    execute format('alter table encounter.%I force row level security', t);
    execute format('create policy owner_all on encounter.%I to ${owner} using (true) with check (true)', t);
    execute format('create policy in_scope on encounter.%I to ${app} using (site_id = any ((select access.scope())::smallint[])) '
      'with check (site_id = any ((select access.scope())::smallint[]))', t);
    execute format('grant select, insert on encounter.%I to ${app}', t);
  end loop;
end
$$;
grant update (current_version) on encounter.encounter to ${app};
