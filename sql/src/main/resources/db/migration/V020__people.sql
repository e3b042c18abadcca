-- Makes people, what they may do, how they sign in, and tokens; lets the audit hold what was done about them.
-- Why: a registry of children's records lets nobody in where they do not belong, and proves who did what. What a person
-- may do is a role in a unit, kept as a grant that ends but is never deleted.
comment on table access.actor is 'Who acts: the program itself (1), people, and tokens of other programs.';
alter table access.actor
  add column made_at timestamptz not null default clock_timestamp(),
  add constraint actor_title_length check (char_length(title) between 1 and 80);
comment on column access.actor.made_at is 'When it was added.';
create sequence access.actor_no as integer start 2 owned by access.actor.actor_id;
alter table access.actor alter column actor_id set default nextval('access.actor_no');

create table access.account (
  actor_id integer primary key references access.actor,
  login text not null
    constraint account_login_unique unique
    constraint account_login_form check (login = lower(login) and char_length(login) between 2 and 80),
  state text not null default 'invited'
    constraint account_state_codes check (state in ('invited', 'active', 'disabled')),
  password_hash text
    constraint account_password_hash_form check (password_hash like '$argon2id$%'),
  password_set_at timestamptz,
  second_factor bytea
    constraint account_second_factor_length check (octet_length(second_factor) between 30 and 200),
  second_factor_step bigint,
  issuer text,
  subject text,
  constraint account_subject_unique unique (issuer, subject),
  constraint account_subject_with_issuer check ((issuer is null) = (subject is null))
);
comment on table access.account is 'How a person signs in.';
comment on column access.account.actor_id is 'The person.';
comment on column access.account.login is 'The name typed at the sign-in, in lower case.';
comment on column access.account.state is 'Not yet joined, may sign in, or may not any more.';
comment on column access.account.password_hash is 'Argon2id with its parameters and salt.';
comment on column access.account.password_set_at is 'When the password was chosen.';
comment on column access.account.second_factor is 'Secret of the one-time codes, AES-256-GCM, bound to this row.';
comment on column access.account.second_factor_step is 'The last time step a code was taken for: no code is taken twice.';
comment on column access.account.issuer is 'The OpenID provider that vouches for the person, if any.';
comment on column access.account.subject is 'The name that provider has for the person.';

create table access.recovery_code (
  actor_id integer not null references access.account,
  code_hash bytea not null
    constraint recovery_code_code_hash_length check (octet_length(code_hash) = 32),
  used_at timestamptz,
  primary key (actor_id, code_hash)
);
comment on table access.recovery_code is 'Codes that take the place of a one-time code once, when the device is lost.';
comment on column access.recovery_code.actor_id is 'The person.';
comment on column access.recovery_code.code_hash is 'SHA-256 of the code, which has 128 random bits.';
comment on column access.recovery_code.used_at is 'When it was used up.';

create table access.invitation (
  link_hash bytea primary key
    constraint invitation_link_hash_length check (octet_length(link_hash) = 32),
  actor_id integer references access.account,
  made_at timestamptz not null default clock_timestamp(),
  expires_at timestamptz not null,
  used_at timestamptz
);
comment on table access.invitation is 'Links by which a person joins or chooses a new password; without a person: the set-up code of the first start.';
comment on column access.invitation.link_hash is 'SHA-256 of the secret of the link, which has 256 random bits.';
comment on column access.invitation.actor_id is 'The person invited; none for the set-up code, which makes the first administrator.';
comment on column access.invitation.made_at is 'When it was made.';
comment on column access.invitation.expires_at is 'When it no longer serves.';
comment on column access.invitation.used_at is 'When it was used up, by joining or by a newer one.';

create table access.role_grant (
  grant_id integer generated always as identity primary key,
  actor_id integer not null references access.actor,
  role text not null
    constraint role_grant_role_codes check (role in ('recorder', 'improvement_lead', 'researcher', 'data_guardian',
      'kit_keeper', 'look_back_reader', 'administrator', 'auditor')),
  site_id smallint references access.site,
  granted_by integer not null default access.current_actor() references access.actor,
  granted_at timestamptz not null default clock_timestamp(),
  expires_at timestamptz,
  ended_at timestamptz,
  constraint role_grant_of_a_unit check ((site_id is null) = (role in ('administrator', 'auditor')))
);
comment on table access.role_grant is 'Which role an actor has in which unit. A grant ends; it is never deleted.';
comment on column access.role_grant.grant_id is 'Key.';
comment on column access.role_grant.actor_id is 'Who may.';
comment on column access.role_grant.role is 'The role.';
comment on column access.role_grant.site_id is 'The unit; none for roles that stand beside all units and see no record.';
comment on column access.role_grant.granted_by is 'Who gave it.';
comment on column access.role_grant.granted_at is 'When it was given.';
comment on column access.role_grant.expires_at is 'When it ends by itself, if it does.';
comment on column access.role_grant.ended_at is 'When it was taken away.';
create unique index role_grant_once on access.role_grant (actor_id, role, coalesce(site_id, 0)) where ended_at is null;

-- Nobody makes the lists of who may see what and also takes data out.
create function access.keep_roles_apart() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  perform from access.actor where actor_id = new.actor_id for update;
  if new.ended_at is null and new.role in ('administrator', 'researcher') and exists (
      select from access.role_grant g
      where g.actor_id = new.actor_id and g.ended_at is null and g.grant_id <> new.grant_id
        and g.role in ('administrator', 'researcher') and g.role <> new.role) then
    raise exception using errcode = '23514', constraint = 'role_grant_apart',
      message = 'administrator and researcher are never the same actor';
  end if;
  return new;
end
$$;
comment on function access.keep_roles_apart() is 'Refuses the roles administrator and researcher for one actor.';
create trigger role_grant_apart before insert or update on access.role_grant
  for each row execute function access.keep_roles_apart();

create table access.token (
  actor_id integer primary key references access.actor,
  token_id uuid not null default gen_random_uuid() constraint token_id_unique unique,
  token_hash bytea not null constraint token_hash_unique unique
    constraint token_hash_length check (octet_length(token_hash) = 32),
  made_by integer not null default access.current_actor() references access.actor,
  expires_at timestamptz not null,
  revoked_at timestamptz,
  demo boolean not null default false
);
comment on table access.token is 'Secrets by which other programs use the API. A token is an actor with grants of its own.';
comment on column access.token.actor_id is 'The actor the token is.';
comment on column access.token.token_id is 'Name of the token, random; not its secret.';
comment on column access.token.token_hash is 'SHA-256 of the secret, which has 256 random bits; shown once, kept nowhere.';
comment on column access.token.made_by is 'Who made it.';
comment on column access.token.expires_at is 'When it no longer serves.';
comment on column access.token.revoked_at is 'When it was taken back.';
comment on column access.token.demo is 'Made for trying with invented data; taken back at the next start.';

create table access.failed_try (
  what_hash bytea not null
    constraint failed_try_what_hash_length check (octet_length(what_hash) = 32),
  at timestamptz not null default clock_timestamp()
);
comment on table access.failed_try is 'Wrong tries to sign in, by the name that was typed and by the address they came from; deleted after a day.';
comment on column access.failed_try.what_hash is 'HMAC of the name, whether there is such a person or not, or of the network address.';
comment on column access.failed_try.at is 'When.';
create index failed_try_recent on access.failed_try (what_hash, at);

-- The scope again: the units in which the actor has one of the roles that the thing to be done needs. The program itself
-- sees all units. House is the scope of what belongs to no unit: people, tokens, the audit.
create function access.house() returns boolean
  language sql stable parallel safe set search_path = pg_catalog
  return coalesce(current_setting('airway.house', true), '') = 'yes';
comment on function access.house() is 'Whether the running transaction may see what belongs to no unit.';

drop function access.enter(integer);
create function access.enter(p_actor_id integer, p_roles text[] default null, p_everywhere boolean default false) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
declare
  v_sites text;
  v_house boolean := false;
begin
  if p_actor_id = 1 then
    select string_agg(site_id::text, ',') into v_sites from access.site;
    v_house := true;
  else
    select string_agg(distinct g.site_id::text, ','), coalesce(bool_or(g.site_id is null), false)
      into v_sites, v_house
      from access.role_grant g
     where g.actor_id = p_actor_id and g.ended_at is null and (g.expires_at is null or g.expires_at > now())
       and (p_roles is null or g.role = any (p_roles));
    if v_house and p_everywhere then
      select string_agg(site_id::text, ',') into v_sites from access.site;
    end if;
  end if;
  perform set_config('airway.actor', p_actor_id::text, true);
  perform set_config('airway.sites', coalesce(v_sites, ''), true);
  perform set_config('airway.house', case when v_house then 'yes' else '' end, true);
end
$$;
comment on function access.enter(integer, text[], boolean) is 'Sets actor and scope of the running transaction; with roles: the units where the actor has one of them; everywhere: all units for who has such a role beside the units.';

create function access.holds(p_site_id smallint, p_roles text[]) returns boolean
  language sql stable security definer set search_path = pg_catalog as $$
  select access.current_actor() = 1 or exists (
    select from access.role_grant g
    where g.actor_id = access.current_actor() and g.site_id = p_site_id and g.role = any (p_roles)
      and g.ended_at is null and (g.expires_at is null or g.expires_at > now()))
$$;
comment on function access.holds(smallint, text[]) is 'Whether the one who acts has one of these roles in this unit.';

create or replace function access.add_site(p_code text, p_title text, p_kind text, p_zone text, p_invented boolean) returns smallint
  language plpgsql security definer set search_path = pg_catalog as $$
declare
  v_site_id smallint;
begin
  insert into access.site (code, title, site_kind, zone, invented)
  values (p_code, p_title, p_kind, p_zone, p_invented)
  returning site_id into v_site_id;
  if access.current_actor() = 1 then
    perform access.enter(1);
  end if;
  return v_site_id;
end
$$;
comment on function access.add_site(text, text, text, text, boolean) is 'Adds a unit; nobody but the program sees it until somebody is granted a role in it.';
drop table access.actor_site;

drop policy in_scope on access.site;
create policy in_scope on access.site for select to ${app}
  using (site_id = any ((select access.scope())::smallint[]) or (select access.house()));
drop policy own on access.actor;
create policy own_or_house on access.actor to ${app}
  using (actor_id = (select access.current_actor()) or (select access.house()))
  with check ((select access.house()));
grant insert (title, operator_grade, operator_experience), update (title, operator_grade, operator_experience)
  on access.actor to ${app};
grant usage on sequence access.actor_no to ${app};

alter table access.account enable row level security;
alter table access.account force row level security;
create policy owner_all on access.account to ${owner} using (true) with check (true);
create policy own_or_house on access.account to ${app}
  using (actor_id = (select access.current_actor()) or (select access.house()))
  with check (actor_id = (select access.current_actor()) or (select access.house()));
grant select, insert on access.account to ${app};
grant update (state, password_hash, password_set_at, second_factor, second_factor_step, issuer, subject)
  on access.account to ${app};

alter table access.recovery_code enable row level security;
alter table access.recovery_code force row level security;
create policy owner_all on access.recovery_code to ${owner} using (true) with check (true);
create policy own_or_house on access.recovery_code to ${app}
  using (actor_id = (select access.current_actor()) or (select access.house()))
  with check (actor_id = (select access.current_actor()) or (select access.house()));
grant select, insert, delete, update (used_at) on access.recovery_code to ${app};

alter table access.invitation enable row level security;
alter table access.invitation force row level security;
create policy owner_all on access.invitation to ${owner} using (true) with check (true);
create policy house on access.invitation to ${app}
  using ((select access.house())) with check ((select access.house()));
grant select, insert, update (used_at) on access.invitation to ${app};

alter table access.role_grant enable row level security;
alter table access.role_grant force row level security;
create policy owner_all on access.role_grant to ${owner} using (true) with check (true);
create policy own_or_house on access.role_grant to ${app}
  using (actor_id = (select access.current_actor()) or (select access.house()))
  with check ((select access.house()));
grant select, insert (actor_id, role, site_id, expires_at), update (ended_at) on access.role_grant to ${app};

alter table access.token enable row level security;
alter table access.token force row level security;
create policy owner_all on access.token to ${owner} using (true) with check (true);
create policy house on access.token to ${app} using ((select access.house())) with check ((select access.house()));
grant select, insert (actor_id, token_hash, expires_at, demo), update (revoked_at) on access.token to ${app};

alter table access.failed_try enable row level security;
alter table access.failed_try force row level security;
create policy owner_all on access.failed_try to ${owner} using (true) with check (true);
create policy house on access.failed_try to ${app} using ((select access.house())) with check ((select access.house()));
grant select, insert, delete on access.failed_try to ${app};

-- The audit holds more than versions: what was done about people, tokens, sessions, identities and settings.
alter table audit.entry drop constraint entry_object_codes, drop constraint entry_action_codes;
alter table audit.entry
  alter column object drop default,
  alter column site_id drop not null,
  alter column object_id drop not null,
  alter column version drop not null,
  alter column hash drop not null,
  add column about integer references access.actor,
  add column reason text
    constraint entry_reason_length check (char_length(reason) between 1 and 500),
  add column detail jsonb
    constraint entry_detail_object check (jsonb_typeof(detail) = 'object'),
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim',
    'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key')),
  add constraint entry_action_codes check (action in ('recorded', 'amended', 'withdrawn',
    'added', 'invited', 'joined', 'signed_in', 'refused', 'signed_out', 'granted', 'ended', 'disabled', 'enabled',
    'reset', 'revoked', 'set', 'kept', 'seen', 'found', 'erased', 'rotated')),
  add constraint entry_version_whole check (
    (object in ('encounter', 'change', 'review', 'aim'))
    = (site_id is not null and object_id is not null and version is not null and hash is not null));
comment on table audit.entry is 'Who did what to which record, change, review, aim, person, grant, token, session, identity, setting, unit or key, and when.';
comment on column audit.entry.site_id is 'The unit of the thing; none for what belongs to no unit.';
comment on column audit.entry.object_id is 'The thing; none where it is the person it is about.';
comment on column audit.entry.version is 'The version that the action made, of a thing that has versions.';
comment on column audit.entry.hash is 'SHA-256 over the salted tree or row of the version, of a thing that has versions.';
comment on column audit.entry.about is 'The person or token it was done to.';
comment on column audit.entry.reason is 'Why, where a reason is asked for. Typed text without anything about a patient; never leaves in an export.';
comment on column audit.entry.detail is 'Coded words and numbers about it; old and new value for settings only; never anything of a patient.';

create function audit.note(p_action text, p_object text, p_site_id smallint, p_object_id uuid, p_about integer,
    p_reason text, p_detail jsonb) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  if p_object in ('encounter', 'change', 'review', 'aim') then
    raise exception using errcode = '42501', message = 'versions write their own audit';
  end if;
  insert into audit.entry (actor_id, site_id, action, object, object_id, about, reason, detail)
  values (access.current_actor(), p_site_id, p_action, p_object, p_object_id, p_about, p_reason, p_detail);
end
$$;
comment on function audit.note(text, text, smallint, uuid, integer, text, jsonb) is 'Writes down what was done to a thing without versions, in the name of who acts.';

-- The audit of a record names the record explicitly, now that nothing is the default.
create or replace function audit.record_version() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  insert into audit.entry (actor_id, site_id, action, object, object_id, version, hash)
  values (new.recorded_by, new.site_id,
    case new.status when 'final' then 'recorded' when 'amended' then 'amended' else 'withdrawn' end,
    'encounter', new.encounter_id, new.version, audit.tree_hash(new.site_id, new.encounter_id, new.version));
  return null;
end
$$;

drop policy in_scope on audit.entry;
create policy in_scope on audit.entry for select to ${app}
  using (site_id = any ((select access.scope())::smallint[]) or (select access.house()));

revoke execute on function access.keep_roles_apart(), access.enter(integer, text[], boolean), access.holds(smallint, text[]), access.house(),
  audit.note(text, text, smallint, uuid, integer, text, jsonb) from public;
grant execute on function access.enter(integer, text[], boolean), access.holds(smallint, text[]), access.house(),
  audit.note(text, text, smallint, uuid, integer, text, jsonb) to ${app};

-- Sessions of people signed in, in the tables of Spring Session (spring-session-jdbc, its schema for PostgreSQL): several
-- instances can serve, and a session ends for all of them at once. What a session holds is a random name, times, and the
-- number of the person.
create schema session;
comment on schema session is 'Who is signed in at the moment.';
grant usage on schema session to ${app};
create table session.spring_session (
  primary_id char(36) not null constraint spring_session_pk primary key,
  session_id varchar(64) not null,
  creation_time bigint not null,
  last_access_time bigint not null,
  max_inactive_interval int not null,
  expiry_time bigint not null,
  principal_name varchar(100)
);
create unique index spring_session_ix1 on session.spring_session (session_id);
create index spring_session_ix2 on session.spring_session (expiry_time);
create index spring_session_ix3 on session.spring_session (principal_name);
create table session.spring_session_attributes (
  session_primary_id char(36) not null
    constraint spring_session_attributes_fk references session.spring_session on delete cascade,
  attribute_name varchar(200) not null,
  attribute_bytes bytea not null,
  constraint spring_session_attributes_pk primary key (session_primary_id, attribute_name)
);
comment on table session.spring_session is 'A session of somebody signed in, or about to.';
comment on column session.spring_session.primary_id is 'Key.';
comment on column session.spring_session.session_id is 'What the cookie carries: 256 random bits.';
comment on column session.spring_session.creation_time is 'When it began, milliseconds since 1970.';
comment on column session.spring_session.last_access_time is 'When it was last used, milliseconds since 1970.';
comment on column session.spring_session.max_inactive_interval is 'Seconds without use after which it ends.';
comment on column session.spring_session.expiry_time is 'When it ends if not used, milliseconds since 1970.';
comment on column session.spring_session.principal_name is 'Number of the actor.';
comment on table session.spring_session_attributes is 'What a session holds.';
comment on column session.spring_session_attributes.session_primary_id is 'The session.';
comment on column session.spring_session_attributes.attribute_name is 'Which part.';
comment on column session.spring_session_attributes.attribute_bytes is 'The part, serialised.';
grant select, insert, update, delete on session.spring_session, session.spring_session_attributes to ${app};
