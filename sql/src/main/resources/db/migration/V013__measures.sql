-- Makes the columns of the further measures in the fact row.
-- Why: every measure on records is answered once, beside first-pass success and events, and counted from there.
-- What each means stands in R__analysis.sql, and in words in docs/topics/measures.md.
alter table analysis.fact
  add column success_2 smallint
    constraint fact_success_2_codes check (success_2 in (-1, 0, 1)),
  add column overall_success smallint
    constraint fact_overall_success_codes check (overall_success in (-1, 0, 1)),
  add column attempts_3plus smallint
    constraint fact_attempts_3plus_codes check (attempts_3plus in (-1, 0, 1)),
  add column desat_80 smallint
    constraint fact_desat_80_codes check (desat_80 in (-1, 0, 1)),
  add column desat_70 smallint
    constraint fact_desat_70_codes check (desat_70 in (-1, 0, 1)),
  add column desat_20pt smallint
    constraint fact_desat_20pt_codes check (desat_20pt in (-1, 0, 1)),
  add column oesophageal_any smallint
    constraint fact_oesophageal_any_codes check (oesophageal_any in (-1, 0, 1)),
  add column oesophageal_late smallint
    constraint fact_oesophageal_late_codes check (oesophageal_late in (-1, 0, 1)),
  add column capno_used smallint
    constraint fact_capno_used_codes check (capno_used in (-1, 0, 1)),
  add column sustained_co2 smallint
    constraint fact_sustained_co2_codes check (sustained_co2 in (-1, 0, 1)),
  add column checklist smallint
    constraint fact_checklist_codes check (checklist in (-1, 0, 1)),
  add column apnoeic_o2 smallint
    constraint fact_apnoeic_o2_codes check (apnoeic_o2 in (-1, 0, 1)),
  add column nmb_used smallint
    constraint fact_nmb_used_codes check (nmb_used in (-1, 0, 1)),
  add column video_used smallint
    constraint fact_video_used_codes check (video_used in (-1, 0, 1)),
  add column screen_looked smallint
    constraint fact_screen_looked_codes check (screen_looked in (-1, 0, 1)),
  add column good_view_no_pass smallint
    constraint fact_good_view_no_pass_codes check (good_view_no_pass in (-1, 0, 1)),
  add column room_for_tube smallint
    constraint fact_room_for_tube_codes check (room_for_tube in (-1, 0, 1)),
  add column kit_failure_use smallint
    constraint fact_kit_failure_use_codes check (kit_failure_use in (-1, 0, 1));
comment on column analysis.fact.success_2 is 'A tube placed within two tracheal attempts: 1 yes, 0 no, -1 not known, null outside the population of first-pass success.';
comment on column analysis.fact.overall_success is 'A tracheal tube at the end: 1 yes, 0 no, -1 not known, null outside the population of first-pass success.';
comment on column analysis.fact.attempts_3plus is 'Three or more tracheal attempts: 1 yes, 0 no, -1 not known, null outside the population of first-pass success.';
comment on column analysis.fact.desat_80 is 'Lowest saturation under 80 %: 1 yes, 0 no, -1 not known, null without an attempt, with a baseline under 90 %, or with cyanotic heart disease.';
comment on column analysis.fact.desat_70 is 'Lowest saturation under 70 %: 1 yes, 0 no, -1 not known, null without an attempt, with a baseline under 90 %, or with cyanotic heart disease.';
comment on column analysis.fact.desat_20pt is 'Fall of the saturation by 20 points or more: 1 yes, 0 no, -1 not known, null without an attempt.';
comment on column analysis.fact.oesophageal_any is 'A tube in the oesophagus, recognised at once or late: 1 yes, 0 no, -1 not known, null outside the population of first-pass success.';
comment on column analysis.fact.oesophageal_late is 'A tube in the oesophagus, recognised late: 1 yes, 0 no, -1 not known, null outside the population of first-pass success.';
comment on column analysis.fact.capno_used is 'Exhaled CO2 waveform at the attempt that placed the final tube: 1 yes, 0 no, -1 not known, null without an attempt, or not ending with a tube.';
comment on column analysis.fact.sustained_co2 is 'Sustained exhaled CO2 documented at the attempt that placed the final tube: 1 yes, 0 no, -1 not known, null without an attempt, or not ending with a tube.';
comment on column analysis.fact.checklist is 'Written checklist used: 1 yes, 0 no, -1 not known, null without an attempt, with no checklist available, or an emergency with arrest.';
comment on column analysis.fact.apnoeic_o2 is 'Oxygen given during the attempt: 1 yes, 0 no, -1 not known, null without an attempt.';
comment on column analysis.fact.nmb_used is 'Muscle relaxant working at the first attempt: 1 yes, 0 no, -1 not known, null without an attempt, or with arrest as the leading reason.';
comment on column analysis.fact.video_used is 'A screen available at attempt 1: 1 yes, 0 no, -1 not known, null without an attempt.';
comment on column analysis.fact.screen_looked is 'The screen looked at in attempt 1: 1 yes, 0 no, -1 not known, null where attempt 1 was not made with a video set-up that also allows a direct view.';
comment on column analysis.fact.good_view_no_pass is 'Attempt 1 failed since the tube would not pass, the view being good: 1 yes, 0 no, -1 not known, null where the view of attempt 1 was not good, or is not graded with its set-up.';
comment on column analysis.fact.room_for_tube is 'Tight room for the tube at attempt 1: 1 yes, 0 no, -1 not known, null without an attempt.';
comment on column analysis.fact.kit_failure_use is 'A problem with the kit at use: 1 yes, 0 no, -1 not known, null without an attempt.';
