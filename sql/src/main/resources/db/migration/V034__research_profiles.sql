-- Lets data stay in the organisation under pseudonyms, lays the safe harbor over any kind of request, and keeps which rows left.
-- Why: a second package tells about those in which it differs from the first, so what left must be known when it is judged.
alter table research.request drop constraint request_profile_codes;
alter table research.request
  add column safe_harbor boolean not null default false,
  add constraint request_profile_codes check (profile in ('public', 'controlled', 'internal-pseudonymised'));
comment on column research.request.safe_harbor is 'Whether nothing finer than a year and no code for a child may leave.';
grant insert (safe_harbor) on research.request to ${app};

alter table research.step
  add column held_against integer
    constraint step_held_against_range check (held_against is null or (held_against >= 0 and status = 'approved'));
comment on column research.step.held_against is 'Earlier packages of the unit that the data were held against before they were approved.';
grant insert (held_against) on research.step to ${app};

alter table research.chosen add column left_out boolean not null default false;
comment on column research.chosen.left_out is 'Whether its row was left out because a child would have stood out.';
grant insert (left_out) on research.chosen to ${app};
create index fetched_request on research.fetched (site_id, request_id);
comment on index research.fetched_request is 'Serves the question which packages of a unit have left.';

-- The day, from which a shifted one is made; none where only the month is known, or where it was made up.
drop view research.candidate;
create view research.candidate with (security_invoker = true) as
  select e.site_id, e.encounter_id, e.current_version as version,
         coalesce(encode(h.lookup, 'hex'), e.encounter_id::text) as patient,
         coalesce(p.research_opt_out, 'unk') as opted_out,
         v.age_days, v.weight_kg, p.sex, v.indication_main, v.limited_mouth_opening, a.operator_experience,
         s.device_mode, s.blade_geometry,
         case when coalesce(v.encounter_start_precision, 'minute') in ('minute', 'day')
           then (v.encounter_start at time zone z.zone)::date end as day
  from encounter.encounter e
  join access.site z on z.site_id = e.site_id
  join encounter.version v on (v.site_id, v.encounter_id, v.version) = (e.site_id, e.encounter_id, e.current_version)
  join encounter.patient p on (p.site_id, p.encounter_id, p.version) = (v.site_id, v.encounter_id, v.version)
  left join encounter.attempt a
    on (a.site_id, a.encounter_id, a.version, a.attempt_no) = (v.site_id, v.encounter_id, v.version, 1)
  left join encounter.device_setup s on (s.site_id, s.device_setup_id) = (a.site_id, a.device_setup_id)
  left join identity.hospital_number h on (h.site_id, h.encounter_id) = (e.site_id, e.encounter_id)
  where v.status <> 'entered-in-error';
comment on view research.candidate is 'What could be known of the child of each record that counts, and whether it may leave for research; seen by the program, never shown row by row.';
grant select on research.candidate to ${app};
