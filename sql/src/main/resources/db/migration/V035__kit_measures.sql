-- Lets charts count the measures of the kit as they count those of encounters: rows with a month and an answer.
-- Why: days, sendings and attempts have no column in the fact row, and a chart should not care where its counts come from.
create function analysis.kit_rows(p_measure text, p_sites smallint[], p_from date, p_to date, p_now timestamptz)
  returns table (site_id smallint, month date, answer smallint, waiting boolean)
  language plpgsql stable set search_path = pg_catalog as $$
begin
  if p_measure in ('trolley_ready', 'check_on_time') then
    -- The day that runs is left out: its due times may not have come.
    return query
      select s.site_id, date_trunc('month', d.day)::date,
             (case when p_measure = 'trolley_ready' then d.ready else d.on_time end)::integer::smallint, false
      from access.site s
      cross join lateral kit.trolley_days(s.site_id,
        greatest(p_from, (select min((t.written_at at time zone s.zone)::date) from kit.trolley t where t.site_id = s.site_id)),
        least(p_to, (p_now at time zone s.zone)::date - 1)) d
      where s.site_id = any (p_sites);
  elsif p_measure = 'blade_turnaround' then
    return query
      select a.site_id, date_trunc('month', a.sent_at at time zone s.zone)::date,
             least(floor(extract(epoch from greatest(coalesce(a.ended_at, p_now) - a.sent_at, interval '0')) / 3600),
               32767)::smallint,
             not coalesce(a.ended_by in ('ready', 'placed'), false)
      from kit.away a join access.site s on s.site_id = a.site_id
      where a.site_id = any (p_sites)
        and (p_from is null or (a.sent_at at time zone s.zone)::date >= p_from)
        and (p_to is null or (a.sent_at at time zone s.zone)::date <= p_to);
  elsif p_measure = 'label_traced' then
    return query
      select u.site_id, date_trunc('month', u.started_at at time zone s.zone)::date, u.traced::integer::smallint, false
      from kit.reusable_use u join access.site s on s.site_id = u.site_id
      where u.site_id = any (p_sites)
        and (p_from is null or (u.started_at at time zone s.zone)::date >= p_from)
        and (p_to is null or (u.started_at at time zone s.zone)::date <= p_to);
  else
    raise exception using errcode = '22023', message = 'no measure of the kit: ' || p_measure;
  end if;
end
$$;
comment on function analysis.kit_rows(text, smallint[], date, date, timestamptz) is 'What a measure of the kit counts in some units: 1 yes, 0 no; of blade_turnaround the whole hours until ready again, or, waiting, without being so until now or until it ended otherwise.';
revoke execute on function analysis.kit_rows(text, smallint[], date, date, timestamptz) from public;
grant execute on function analysis.kit_rows(text, smallint[], date, date, timestamptz) to ${app};
