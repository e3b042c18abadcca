-- Tells whether a record is one's own, so that a recorder can set the hospital number of their own records alone.
-- Why: whoever may put a record right may set its number, and nobody else; pages and API have one rule.
create or replace view identity.record with (security_invoker = true) as
  select e.site_id, e.encounter_id, v.recorded_at, v.encounter_start as started_at,
         coalesce(v.encounter_start_precision, 'minute') as precision, v.status = 'entered-in-error' as withdrawn,
         (select first.recorded_by = access.current_actor() from encounter.version first
          where (first.site_id, first.encounter_id, first.version) = (e.site_id, e.encounter_id, 1)) as own
  from encounter.encounter e
  join encounter.version v on (v.site_id, v.encounter_id, v.version) = (e.site_id, e.encounter_id, e.current_version);
comment on column identity.record.own is 'Whether the one who asks recorded it.';
