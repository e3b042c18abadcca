-- Lets the program have the statistics of the tables made anew.
-- Why: after many records came at once, the planner knows nothing of them until the server gets round to it, which can
-- take minutes, and only the owner of a table may ask for it sooner.
create function analysis.gather_statistics() returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  analyze encounter.device_setup, encounter.encounter, encounter.version, encounter.patient, encounter.course,
    encounter.drug, encounter.attempt, encounter.event, analysis.fact;
end
$$;
comment on function analysis.gather_statistics() is 'Looks at the tables of records and facts, for good plans after many rows were added.';
revoke execute on function analysis.gather_statistics() from public;
grant execute on function analysis.gather_statistics() to ${app};
