-- Tells who entered the moves of an item.
-- Why: whoever looks at an item asks the person who last had it; accounts are shown to nobody else.
create function kit.movers(p_site_id smallint, p_item_id uuid) returns table (version integer, title text, roles text[])
  language sql stable security definer set search_path = pg_catalog as $$
  select m.version, a.title, array(
    select g.role from access.role_grant g
    where g.actor_id = m.recorded_by and g.site_id = m.site_id and g.granted_at <= m.written_at
      and coalesce(g.ended_at > m.written_at, true) and coalesce(g.expires_at > m.written_at, true)
    order by g.role)
  from kit.move m join access.actor a on a.actor_id = m.recorded_by
  where m.site_id = p_site_id and m.item_id = p_item_id and m.site_id = any (access.scope())
$$;
comment on function kit.movers(smallint, uuid) is 'Who entered the moves of an item in scope, and the roles they had in the unit at that moment.';
revoke execute on all functions in schema kit from public;
grant execute on function kit.movers(smallint, uuid) to ${app};
