-- Makes the view from which research data are taken: what could be known of a child, and whether the family agreed.
-- Why: whether a child stands out is judged over all children together, so they must be countable; rows of one child count
-- once where its hospital number is known.
create view release.candidate with (security_invoker = true) as
  select e.site_id, e.encounter_id, e.current_version as version,
         coalesce(encode(h.lookup, 'hex'), e.encounter_id::text) as patient,
         coalesce(p.research_opt_out, 'unk') as opted_out,
         v.age_days, v.weight_kg, p.sex, v.indication_main, v.limited_mouth_opening, a.operator_experience
  from encounter.encounter e
  join encounter.version v on (v.site_id, v.encounter_id, v.version) = (e.site_id, e.encounter_id, e.current_version)
  join encounter.patient p on (p.site_id, p.encounter_id, p.version) = (v.site_id, v.encounter_id, v.version)
  left join encounter.attempt a
    on (a.site_id, a.encounter_id, a.version, a.attempt_no) = (v.site_id, v.encounter_id, v.version, 1)
  left join identity.hospital_number h on (h.site_id, h.encounter_id) = (e.site_id, e.encounter_id)
  where v.status <> 'entered-in-error';
comment on view release.candidate is 'What could be known of the child of each record that counts, and whether it may leave for research; seen by the program, never shown row by row.';
grant select on release.candidate to ${app};
