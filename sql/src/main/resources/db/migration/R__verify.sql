-- Defines what must hold over the whole database, and finds where it does not.
-- Why: constraints guard a row, triggers a transaction; this looks at all of it together, also after somebody with the
-- rights of the owner was in it.

drop function if exists audit.findings();
create function audit.findings()
  returns table (site text, object text, object_id uuid, version integer, finding text, detail text)
  language sql stable set search_path = pg_catalog as $$
  with numbered as (
    select v.site_id, v.encounter_id, min(v.version) as first, max(v.version) as last, count(*) as number
    from encounter.version v group by 1, 2
  ), entry as (
    select e.site_id, e.object_id as encounter_id, e.version, e.entry_id, e.action, e.actor_id, e.hash
    from audit.entry e where e.object = 'encounter'
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
    from encounter.version v left join entry e using (site_id, encounter_id, version)
    group by 1, 2, 3 having count(e.entry_id) <> 1
    union all
    select e.site_id, e.encounter_id, e.version, 'audit_alone', null
    from entry e left join encounter.version v using (site_id, encounter_id, version)
    where v.version is null
    union all
    select v.site_id, v.encounter_id, v.version, 'audit_hash', null
    from encounter.version v join entry e using (site_id, encounter_id, version)
    where e.hash <> audit.tree_hash(v.site_id, v.encounter_id, v.version)
    union all
    select v.site_id, v.encounter_id, v.version, 'audit_action', null
    from encounter.version v join entry e using (site_id, encounter_id, version)
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
  ), row_version as (
    select 'change' as object, v.site_id, v.change_id as object_id, v.version, v.status, v.recorded_by,
           audit.row_hash(v) as hash
    from changes.version v
    union all
    select 'review', v.site_id, v.encounter_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from reviews.version v
    union all
    select 'aim', v.site_id, v.aim_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from aims.version v
    union all
    select 'report', v.site_id, v.report_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from reports.version v
    union all
    select 'kept_average', v.site_id, v.kept_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from charts.kept_average v
    union all
    select 'kit_kind', v.site_id, v.kind_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from kit.kind v
    union all
    select 'kit_item', v.site_id, v.item_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from kit.move v
    union all
    select 'research_request', v.site_id, v.request_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from research.step v
    union all
    select 'kit_discrepancy', v.site_id, v.discrepancy_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from kit.discrepancy v
    union all
    select 'kit_trolley', v.site_id, v.trolley_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from kit.trolley v
    union all
    select 'kit_check', v.site_id, v.trolley_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from kit.trolley_check v
    union all
    select 'kit_lot', v.site_id, v.lot_id, v.version, v.status, v.recorded_by, audit.row_hash(v)
    from kit.stock v
  ), found_row as (
    select v.object, v.site_id, v.object_id, max(v.version) as version, 'versions_gap' as finding
    from row_version v group by 1, 2, 3 having min(v.version) <> 1 or max(v.version) <> count(*)
    union all
    select coalesce(v.object, e.object), coalesce(v.site_id, e.site_id), coalesce(v.object_id, e.object_id),
           coalesce(v.version, e.version),
           case when v.object is null then 'audit_alone'
                when count(e.entry_id) = 0 then 'no_audit'
                when count(e.entry_id) > 1 then 'audit_twice'
                when bool_or(e.hash <> v.hash) then 'audit_hash'
                else 'audit_action' end
    from row_version v
    full join (
      select * from audit.entry
      where object in ('change', 'review', 'aim', 'report', 'kept_average', 'kit_kind', 'kit_item', 'research_request',
        'kit_discrepancy', 'kit_trolley', 'kit_check', 'kit_lot')) e
      using (object, site_id, object_id, version)
    group by v.object, e.object, v.site_id, e.site_id, v.object_id, e.object_id, v.version, e.version
    having v.object is null or count(e.entry_id) <> 1 or bool_or(e.hash <> v.hash or e.actor_id <> v.recorded_by
      or e.action <> audit.action_of(v.object, v.status, v.version))
  ), tally_that_differs as (
    select coalesce(t.site_id, n.site_id) as site_id, coalesce(t.year, n.year) as year
    from analysis.tally t
    full join analysis.tally_anew n using (question, answer, site_id, year, part)
    where t.records is distinct from n.records
    union all
    select coalesce(t.site_id, n.site_id), coalesce(t.year, n.year)
    from analysis.tally_value t
    full join analysis.tally_value_anew n using (question, site_id, year, part)
    where t.answers is distinct from n.answers
    union all
    select coalesce(t.site_id, n.site_id), coalesce(t.year, n.year)
    from analysis.tally_block t
    full join analysis.tally_block_anew n using (site_id, year, part)
    where (t.months, t.firsts, t.times, t.counted) is distinct from (n.months, n.firsts, n.times, n.counted)
    union all
    select coalesce(t.site_id, n.site_id), coalesce(t.year, n.year)
    from analysis.tally_count t
    full join analysis.tally_count_anew n using (measured, question, answer, site_id, year, part)
    where t.numbers is distinct from n.numbers
  ), found_tally as (
    select t.site_id, t.year, count(*) || ' tallies of ' || t.year as detail
    from tally_that_differs t
    where not exists (select from analysis.tally_due d where (d.site_id, d.year) = (t.site_id, t.year))
    group by t.site_id, t.year
  ), found_number as (
    select h.site_id, h.encounter_id, 'alone' as finding, null as detail
    from identity.hospital_number h left join encounter.encounter e using (site_id, encounter_id)
    where e.encounter_id is null
    union all
    select h.site_id, h.encounter_id, 'unknown_key', get_byte(h.sealed, 0)::text
    from identity.hospital_number h left join access.key k on k.key_no = get_byte(h.sealed, 0)
    where k.key_no is null
  )
  select s.code, f.object, f.object_id, f.version, f.finding, f.detail
  from (
    select 'encounter' as object, site_id, encounter_id as object_id, version, finding, detail from found
    union all
    select object, site_id, object_id, version, finding, null from found_row
    union all
    select 'identity', site_id, encounter_id, null, finding, detail from found_number
    union all
    select 'tally', site_id, null, null, 'tally_differs', detail from found_tally
  ) f join access.site s using (site_id)
  order by s.code, f.object, f.object_id, f.version, f.finding
$$;
comment on function audit.findings() is 'Everything that should hold and does not; empty when all is well.';
revoke execute on function audit.findings() from public;
grant execute on function audit.findings() to ${app};
