-- Defines what must hold over the whole database, and finds where it does not.
-- Why: constraints guard a row, triggers a transaction; this looks at all of it together, also after somebody with the
-- rights of the owner was in it.

create or replace function audit.findings()
  returns table (site text, encounter_id uuid, version integer, finding text, detail text)
  language sql stable set search_path = pg_catalog as $$
  with numbered as (
    select v.site_id, v.encounter_id, min(v.version) as first, max(v.version) as last, count(*) as number
    from encounter.version v group by 1, 2
  ), found as (
    select n.site_id, n.encounter_id, n.last as version, 'versions_gap' as finding, null as detail
    from numbered n where n.first <> 1 or n.last <> n.number
    union all
    select e.site_id, e.encounter_id, e.current_version, 'no_version', null
    from encounter.encounter e left join numbered n using (site_id, encounter_id) where n.number is null
    union all
    select e.site_id, e.encounter_id, e.current_version, 'not_newest', n.last::text
    from encounter.encounter e join numbered n using (site_id, encounter_id) where e.current_version <> n.last
    union all
    select v.site_id, v.encounter_id, v.version, 'no_patient', null
    from encounter.version v left join encounter.patient p using (site_id, encounter_id, version)
    where p.version is null
    union all
    select a.site_id, a.encounter_id, a.version, 'attempts_gap', null
    from encounter.attempt a group by 1, 2, 3 having max(a.attempt_no) <> count(*)
    union all
    select c.site_id, c.encounter_id, c.version, 'courses_gap', null
    from encounter.course c group by 1, 2, 3 having max(c.course_no) <> count(*)
    union all
    select v.site_id, v.encounter_id, v.version,
           case when count(e.entry_id) = 0 then 'no_audit' else 'audit_twice' end, null
    from encounter.version v left join audit.entry e using (site_id, encounter_id, version)
    group by 1, 2, 3 having count(e.entry_id) <> 1
    union all
    select e.site_id, e.encounter_id, e.version, 'audit_alone', null
    from audit.entry e left join encounter.version v using (site_id, encounter_id, version)
    where v.version is null
    union all
    select v.site_id, v.encounter_id, v.version, 'audit_hash', null
    from encounter.version v join audit.entry e using (site_id, encounter_id, version)
    where e.hash <> audit.tree_hash(v.site_id, v.encounter_id, v.version)
    union all
    select v.site_id, v.encounter_id, v.version, 'audit_action', null
    from encounter.version v join audit.entry e using (site_id, encounter_id, version)
    where e.action <> case v.status when 'final' then 'recorded' when 'amended' then 'amended' else 'withdrawn' end
       or e.actor_id <> v.recorded_by
    union all
    select coalesce(f.site_id, n.site_id), coalesce(f.encounter_id, n.encounter_id), coalesce(f.version, n.version),
           case when f.site_id is null then 'no_fact' when n.site_id is null then 'fact_alone' else 'fact_differs' end,
           (select string_agg(k.key, ', ' order by k.key) from jsonb_each(to_jsonb(f)) k
            where f.site_id is not null and n.site_id is not null and k.value is distinct from to_jsonb(n) -> k.key)
    from analysis.fact f
    full join analysis.fact_anew n on (n.site_id, n.encounter_id) = (f.site_id, f.encounter_id)
    where to_jsonb(f) is distinct from to_jsonb(n)
  )
  select s.code, f.encounter_id, f.version, f.finding, f.detail
  from found f join access.site s using (site_id)
  order by s.code, f.encounter_id, f.version, f.finding
$$;
comment on function audit.findings() is 'Everything that should hold and does not; empty when all is well.';
revoke execute on function audit.findings() from public;
grant execute on function audit.findings() to ${app};
