-- Makes the columns of the measures that are no proportions in the fact row.
-- Why: events per encounter are added up, and the lowest saturation and the time of the successful attempt have a median;
-- all are answered once per record, beside the other measures. What each means stands in R__analysis.sql, and in words
-- in docs/topics/measures.md. A time has a column for each way to stop the clock: such times are never pooled.
alter table analysis.fact
  add column event_count smallint
    constraint fact_event_count_range check (event_count >= -1),
  add column spo2_low smallint
    constraint fact_spo2_low_range check (spo2_low between -1 and 100),
  add column duration_co2 smallint
    constraint fact_duration_co2_range check (duration_co2 between -1 and 1800),
  add column duration_tube_placed smallint
    constraint fact_duration_tube_placed_range check (duration_tube_placed between -1 and 1800),
  add column duration_confirmed smallint
    constraint fact_duration_confirmed_range check (duration_confirmed between -1 and 1800),
  add column duration_blade_out smallint
    constraint fact_duration_blade_out_range check (duration_blade_out between -1 and 1800);
comment on column analysis.fact.event_count is 'Number of adverse events, a kit failure apart; -1 not known, null for a tube change.';
comment on column analysis.fact.spo2_low is 'Lowest saturation with every reading known and trusted, in %; -1 not known, null without an attempt.';
comment on column analysis.fact.duration_co2 is 'Seconds of the successful attempt until the first exhaled CO2; -1 not known, null where none succeeded or the clock was stopped otherwise.';
comment on column analysis.fact.duration_tube_placed is 'Seconds of the successful attempt until the tube was through the cords; -1 not known, null where none succeeded or the clock was stopped otherwise.';
comment on column analysis.fact.duration_confirmed is 'Seconds of the successful attempt until the tube was confirmed; -1 not known, null where none succeeded or the clock was stopped otherwise.';
comment on column analysis.fact.duration_blade_out is 'Seconds of the successful attempt until the device was out of the mouth; -1 not known, null where none succeeded or the clock was stopped otherwise.';
