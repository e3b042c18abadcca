-- Makes units, actors and the scope of a transaction.
-- Why: every later table is guarded by the units of the scope, so the scope comes first.
create table access.site (
  site_id   smallint generated always as identity primary key,
  code      text not null constraint site_code_unique unique
            constraint site_code_form check (code ~ '^[a-z][a-z0-9_-]{1,31}$'),
  title     text not null constraint site_title_length check (char_length(title) between 1 and 80),
  site_kind text not null constraint site_site_kind_codes
            check (site_kind in ('picu', 'nicu', 'icu_mixed', 'icu_adult', 'ed', 'theatre', 'transport', 'other')),
  zone      text not null constraint site_zone_length check (char_length(zone) between 1 and 64),
  invented  boolean not null default false
);
comment on table access.site is 'A unit that contributes records.';
comment on column access.site.site_id is 'Small key of the unit inside the database.';
comment on column access.site.code is 'Short local code of the unit, site_id in the API; never a hospital name.';
comment on column access.site.title is 'What the unit is called on its screens.';
comment on column access.site.site_kind is 'Main patient group and role of the unit.';
comment on column access.site.zone is 'IANA time zone; months and quarters are those of this zone.';
comment on column access.site.invented is 'The data of this unit are invented, and every page says so.';

create table access.actor (
  actor_id            integer primary key,
  title               text not null,
  operator_grade      text constraint actor_operator_grade_codes
                      check (operator_grade in ('junior', 'senior', 'specialist', 'non_doctor', 'student')),
  operator_experience text constraint actor_operator_experience_codes
                      check (operator_experience in ('lt10', '10_24', '25_100', 'gt100'))
);
comment on table access.actor is 'Who acts. Until accounts exist there is one fixed actor.';
comment on column access.actor.actor_id is 'Key of the actor.';
comment on column access.actor.title is 'What the actor is called on screens.';
comment on column access.actor.operator_grade is 'Grade offered when the actor held the laryngoscope.';
comment on column access.actor.operator_experience is 'Earlier intubations, offered in the same way.';

create table access.actor_site (
  actor_id integer not null references access.actor,
  site_id  smallint not null references access.site,
  primary key (actor_id, site_id)
);
comment on table access.actor_site is 'Which units an actor acts for.';
comment on column access.actor_site.actor_id is 'The actor.';
comment on column access.actor_site.site_id is 'The unit.';

insert into access.actor (actor_id, title, operator_grade, operator_experience)
values (1, 'This computer', 'senior', '25_100');

-- The scope: set when a transaction begins, gone when it ends. After a commit the setting is '' and not null.
create function access.scope() returns smallint[]
  language sql stable parallel safe set search_path = pg_catalog
  return string_to_array(nullif(current_setting('airway.sites', true), ''), ',')::smallint[];
comment on function access.scope() is 'Units of the running transaction; null, and so nothing, when none were set.';

create function access.current_actor() returns integer
  language sql stable parallel safe set search_path = pg_catalog
  return nullif(current_setting('airway.actor', true), '')::integer;
comment on function access.current_actor() is 'Who acts in the running transaction.';

create function access.enter(p_actor_id integer) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  perform set_config('airway.actor', p_actor_id::text, true);
  perform set_config('airway.sites',
    coalesce((select string_agg(site_id::text, ',') from access.actor_site where actor_id = p_actor_id), ''), true);
end
$$;
comment on function access.enter(integer) is 'Sets actor and units of the running transaction.';

create function access.add_site(p_code text, p_title text, p_kind text, p_zone text, p_invented boolean) returns smallint
  language plpgsql security definer set search_path = pg_catalog as $$
declare
  v_site_id smallint;
begin
  insert into access.site (code, title, site_kind, zone, invented)
  values (p_code, p_title, p_kind, p_zone, p_invented)
  returning site_id into v_site_id;
  insert into access.actor_site (actor_id, site_id) select actor_id, v_site_id from access.actor;
  return v_site_id;
end
$$;
comment on function access.add_site(text, text, text, text, boolean) is 'Adds a unit, open to every actor there is.';

alter table access.site enable row level security;
alter table access.site force row level security;
create policy owner_all on access.site to ${owner} using (true) with check (true);
create policy in_scope on access.site for select to ${app} using (site_id = any ((select access.scope())::smallint[]));

alter table access.actor enable row level security;
alter table access.actor force row level security;
create policy owner_all on access.actor to ${owner} using (true) with check (true);
create policy own on access.actor for select to ${app} using (actor_id = (select access.current_actor()));

alter table access.actor_site enable row level security;
alter table access.actor_site force row level security;
create policy owner_all on access.actor_site to ${owner} using (true) with check (true);

revoke execute on all functions in schema access from public;
grant execute on all functions in schema access to ${app};
grant select on access.site, access.actor to ${app};
