-- Makes requests for research data with what became of them, and the packages that were made and fetched.
-- Why: data of children leave only when somebody other than the one who asks has said yes to exactly these data. So the
-- choices stand in the request, the yes holds the records it is about and the hash of what they give, and nothing is changed.
create schema research;
comment on schema research is 'Requests for research data, what became of them, and what left.';
grant usage on schema research to ${app};

create table research.request (
  site_id smallint not null references access.site,
  request_id uuid not null,
  profile text not null
    constraint request_profile_codes check (profile in ('public', 'controlled')),
  variables text[] not null,
  answers text[] not null,
  first_month date,
  last_month date,
  filters jsonb not null
    constraint request_filters_object check (jsonb_typeof(filters) = 'object'),
  about_variable text,
  about_code text,
  purpose text not null
    constraint request_purpose_length check (char_length(purpose) between 1 and 500),
  recipient text not null
    constraint request_recipient_length check (char_length(recipient) between 1 and 120),
  approval_reference text not null
    constraint request_approval_reference_length check (char_length(approval_reference) between 1 and 60),
  approval_expires date not null,
  asked_by integer not null default access.current_actor() references access.actor,
  asked_at timestamptz not null default clock_timestamp(),
  primary key (site_id, request_id),
  constraint request_author_unique unique (site_id, request_id, asked_by),
  constraint request_asks_something check (cardinality(variables) + cardinality(answers) > 0),
  constraint request_period_order check (first_month <= last_month),
  constraint request_about_whole check ((about_variable is null) = (about_code is null))
);
comment on table research.request is 'What a researcher asks for. Never changed: who wants something else asks anew.';
comment on column research.request.site_id is 'The unit.';
comment on column research.request.request_id is 'System-generated key, random.';
comment on column research.request.profile is 'Who will hold the data, and so how well hidden each child must be.';
comment on column research.request.variables is 'Variables by which somebody could be known, the one to be kept finest first.';
comment on column research.request.answers is 'Other variables.';
comment on column research.request.first_month is 'First month; empty for the first there is.';
comment on column research.request.last_month is 'Last month, inclusive; empty for the last there is.';
comment on column research.request.filters is 'Codes by variable; several codes of one variable mean any of them.';
comment on column research.request.about_variable is 'Variable of the group that the purpose names; empty where it names none.';
comment on column research.request.about_code is 'Code of that group.';
comment on column research.request.purpose is 'What for. Typed text about research, nothing of patients; stands in the package, whose recipient wrote it.';
comment on column research.request.recipient is 'Who will hold the data: a body. Typed text; stands in the package.';
comment on column research.request.approval_reference is 'Number of the approval by an ethics committee or its like. Typed text; stands in the package.';
comment on column research.request.approval_expires is 'Last day on which that approval holds.';
comment on column research.request.asked_by is 'Who asked.';
comment on column research.request.asked_at is 'When, by the clock of the database.';

create table research.step (
  site_id smallint not null,
  request_id uuid not null,
  version integer not null
    constraint step_version_range check (version >= 1),
  previous integer generated always as (nullif(version - 1, 0)) stored,
  from_status text,
  status text not null
    constraint step_status_codes check (status in ('asked', 'approved', 'refused', 'withdrawn')),
  asked_by integer not null,
  reason text
    constraint step_reason_length check (char_length(reason) between 1 and 500),
  levels smallint[],
  rare jsonb,
  matching integer,
  allowed integer,
  removed integer,
  accepted_loss smallint
    constraint step_accepted_loss_range check (accepted_loss between 1 and 100),
  digest bytea
    constraint step_digest_length check (octet_length(digest) = 32),
  cut_off timestamptz,
  seal_seq bigint,
  seal_hash bytea,
  recorded_by integer not null default access.current_actor() references access.actor,
  written_at timestamptz not null default clock_timestamp(),
  salt uuid not null default gen_random_uuid(),
  primary key (site_id, request_id, version),
  foreign key (site_id, request_id, asked_by) references research.request (site_id, request_id, asked_by),
  constraint step_status_unique unique (site_id, request_id, version, status),
  constraint step_goes_on foreign key (site_id, request_id, previous, from_status)
    references research.step (site_id, request_id, version, status),
  constraint step_first_asks check ((version = 1) = (from_status is null) and (version = 1) = (status = 'asked')),
  constraint step_asked_by_oneself check (status <> 'asked' or recorded_by = asked_by),
  constraint step_after_the_end check (from_status in ('asked', 'approved')),
  constraint step_refused_once_asked check (status <> 'refused' or from_status = 'asked'),
  constraint step_not_ones_own check (status not in ('approved', 'refused') or recorded_by <> asked_by),
  constraint step_reason_given check ((status in ('refused', 'withdrawn')) = (reason is not null)),
  constraint step_approval_whole check (num_nonnulls(levels, rare, matching, allowed, removed, digest, cut_off)
    = case status when 'approved' then 7 else 0 end and (status = 'approved' or accepted_loss is null)),
  constraint step_seal_whole check ((seal_seq is null) = (seal_hash is null) and (status = 'approved' or seal_seq is null))
);
comment on table research.step is 'What became of a request, step by step; the highest version counts, and nothing follows a no or a withdrawal.';
comment on column research.step.site_id is 'The unit.';
comment on column research.step.request_id is 'The request.';
comment on column research.step.version is 'Counts from 1.';
comment on column research.step.previous is 'The step before, which must be there; null for the first.';
comment on column research.step.from_status is 'How it stood before.';
comment on column research.step.status is 'How it stands: asked, approved, refused or withdrawn.';
comment on column research.step.asked_by is 'Who asked for the data: nobody says yes or no to a request of their own.';
comment on column research.step.reason is 'Why it was refused or withdrawn. Typed text, nothing of patients; never leaves in a package.';
comment on column research.step.levels is 'How fine each variable is told, in the order of the request.';
comment on column research.step.rare is 'Codes that few children have, by variable: they are told as other.';
comment on column research.step.matching is 'Records that matched.';
comment on column research.step.allowed is 'Those of them that may leave.';
comment on column research.step.removed is 'Rows left out because a child would stand out.';
comment on column research.step.accepted_loss is 'What the largest loss of a group is, in percent, where it is over a tenth and was accepted.';
comment on column research.step.digest is 'SHA-256 of the rows and of the report on the risk, as they were approved.';
comment on column research.step.cut_off is 'The moment at which the records were read.';
comment on column research.step.seal_seq is 'The newest place in the chain over the audit at that moment; empty where nothing was sealed.';
comment on column research.step.seal_hash is 'Its hash.';
comment on column research.step.recorded_by is 'Who took this step.';
comment on column research.step.written_at is 'When, by the clock of the database.';
comment on column research.step.salt is 'Random; keeps the hash of the audit from being guessed.';

create table research.chosen (
  site_id smallint not null,
  request_id uuid not null,
  version integer not null,
  status text generated always as ('approved') stored,
  encounter_id uuid not null,
  encounter_version integer not null,
  primary key (site_id, request_id, version, encounter_id),
  foreign key (site_id, request_id, version, status) references research.step (site_id, request_id, version, status),
  foreign key (site_id, encounter_id) references encounter.encounter
);
comment on table research.chosen is 'The records an approval is about, as they were. Which row of a package is which record stands nowhere.';
comment on column research.chosen.site_id is 'The unit.';
comment on column research.chosen.request_id is 'The request.';
comment on column research.chosen.version is 'The step that approved.';
comment on column research.chosen.status is 'That step is an approval.';
comment on column research.chosen.encounter_id is 'The record.';
comment on column research.chosen.encounter_version is 'Its version.';

create table research.package (
  site_id smallint not null,
  request_id uuid not null,
  version integer not null,
  status text generated always as ('approved') stored,
  sha256 bytea not null
    constraint package_sha256_length check (octet_length(sha256) = 32),
  bytes bigint not null,
  row_count integer not null,
  software text not null,
  made_by integer not null default access.current_actor() references access.actor,
  made_at timestamptz not null default clock_timestamp(),
  primary key (site_id, request_id, version, sha256),
  foreign key (site_id, request_id, version, status) references research.step (site_id, request_id, version, status)
);
comment on table research.package is 'A package that was made of an approved request. The same request gives the same bytes while the software is the same.';
comment on column research.package.site_id is 'The unit.';
comment on column research.package.request_id is 'The request.';
comment on column research.package.version is 'The step that approved it.';
comment on column research.package.status is 'That step is an approval.';
comment on column research.package.sha256 is 'SHA-256 of the file.';
comment on column research.package.bytes is 'Its size.';
comment on column research.package.row_count is 'Rows in it.';
comment on column research.package.software is 'Version of the software that made it.';
comment on column research.package.made_by is 'Who made it.';
comment on column research.package.made_at is 'When, by the clock of the database.';

create table research.link (
  link_hash bytea primary key
    constraint link_hash_length check (octet_length(link_hash) = 32),
  site_id smallint not null,
  request_id uuid not null,
  version integer not null,
  sha256 bytea not null,
  made_by integer not null default access.current_actor() references access.actor,
  made_at timestamptz not null default clock_timestamp(),
  expires_at timestamptz not null,
  foreign key (site_id, request_id, version, sha256) references research.package,
  constraint link_owner_unique unique (link_hash, made_by)
);
comment on table research.link is 'A link by which its maker may fetch a package once.';
comment on column research.link.link_hash is 'SHA-256 of the secret in the link; the secret is kept nowhere.';
comment on column research.link.site_id is 'The unit.';
comment on column research.link.request_id is 'The request.';
comment on column research.link.version is 'The step that approved it.';
comment on column research.link.sha256 is 'The package.';
comment on column research.link.made_by is 'Who may use it.';
comment on column research.link.made_at is 'When it was made.';
comment on column research.link.expires_at is 'From when on it does not serve any more.';

create table research.fetched (
  link_hash bytea primary key,
  site_id smallint not null,
  request_id uuid not null,
  fetched_by integer not null default access.current_actor(),
  fetched_at timestamptz not null default clock_timestamp(),
  foreign key (link_hash, fetched_by) references research.link (link_hash, made_by)
);
comment on table research.fetched is 'A link that was used: once, by the one who made it.';
comment on column research.fetched.link_hash is 'The link.';
comment on column research.fetched.site_id is 'The unit.';
comment on column research.fetched.request_id is 'The request.';
comment on column research.fetched.fetched_by is 'Who fetched the package.';
comment on column research.fetched.fetched_at is 'When.';

do $$
declare
  v_table text;
begin
  foreach v_table in array '{request,step,chosen,package,link,fetched}'::text[] loop
    execute format('alter table research.%I enable row level security', v_table);
    execute format('alter table research.%I force row level security', v_table);
    execute format('create policy owner_all on research.%I to ${owner} using (true) with check (true)', v_table);
    execute format('create policy in_scope on research.%I to ${app} using (site_id = any ((select access.scope())::smallint[])) '
      'with check (site_id = any ((select access.scope())::smallint[]))', v_table);
    execute format('grant select on research.%I to ${app}', v_table);
  end loop;
end
$$;
grant insert (site_id, request_id, profile, variables, answers, first_month, last_month, filters, about_variable, about_code,
  purpose, recipient, approval_reference, approval_expires) on research.request to ${app};
grant insert (site_id, request_id, version, from_status, status, asked_by, reason, levels, rare, matching, allowed, removed,
  accepted_loss, digest, cut_off, seal_seq, seal_hash) on research.step to ${app};
grant insert (site_id, request_id, version, encounter_id, encounter_version) on research.chosen to ${app};
grant insert (site_id, request_id, version, sha256, bytes, row_count, software) on research.package to ${app};
grant insert (link_hash, site_id, request_id, version, sha256, expires_at) on research.link to ${app};
grant insert (link_hash, site_id, request_id) on research.fetched to ${app};

-- What could be known of a child moves into the schema of the room that reads it.
drop view release.candidate;
create view research.candidate with (security_invoker = true) as
  select e.site_id, e.encounter_id, e.current_version as version,
         coalesce(encode(h.lookup, 'hex'), e.encounter_id::text) as patient,
         coalesce(p.research_opt_out, 'unk') as opted_out,
         v.age_days, v.weight_kg, p.sex, v.indication_main, v.limited_mouth_opening, a.operator_experience,
         s.device_mode, s.blade_geometry
  from encounter.encounter e
  join encounter.version v on (v.site_id, v.encounter_id, v.version) = (e.site_id, e.encounter_id, e.current_version)
  join encounter.patient p on (p.site_id, p.encounter_id, p.version) = (v.site_id, v.encounter_id, v.version)
  left join encounter.attempt a
    on (a.site_id, a.encounter_id, a.version, a.attempt_no) = (v.site_id, v.encounter_id, v.version, 1)
  left join encounter.device_setup s on (s.site_id, s.device_setup_id) = (a.site_id, a.device_setup_id)
  left join identity.hospital_number h on (h.site_id, h.encounter_id) = (e.site_id, e.encounter_id)
  where v.status <> 'entered-in-error';
comment on view research.candidate is 'What could be known of the child of each record that counts, and whether it may leave for research; seen by the program, never shown row by row.';
grant select on research.candidate to ${app};

create function audit.newest_head(out seq bigint, out hash bytea)
  language sql stable security definer set search_path = pg_catalog as $$
  select s.seq, s.hash from audit.seal s order by s.seq desc limit 1
$$;
comment on function audit.newest_head() is 'The newest place in the chain and its hash, which tell nothing of what is in it; null while nothing is sealed.';
revoke execute on function audit.newest_head() from public;
grant execute on function audit.newest_head() to ${app};

alter table audit.entry drop constraint entry_object_codes, drop constraint entry_action_codes,
  drop constraint entry_version_whole;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average',
    'table', 'kit_kind', 'kit_item', 'research_request', 'research_package',
    'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_action_codes check (action in ('recorded', 'amended', 'withdrawn', 'finalised', 'told', 'moved',
    'asked', 'approved', 'made', 'fetched',
    'added', 'invited', 'joined', 'signed_in', 'refused', 'signed_out', 'granted', 'ended', 'disabled', 'enabled',
    'reset', 'revoked', 'set', 'kept', 'seen', 'found', 'erased', 'rotated', 'verified')),
  add constraint entry_version_whole check (
    (object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'kit_kind', 'kit_item',
      'research_request'))
    = (site_id is not null and object_id is not null and version is not null and hash is not null));
comment on table audit.entry is 'Who did what to which record, change, review, aim, report, kept average, table, kind or item of the kit, request or package of research data, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';

create or replace function audit.note(p_action text, p_object text, p_site_id smallint, p_object_id uuid, p_about integer,
    p_reason text, p_detail jsonb) returns void
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  if p_object in ('encounter', 'change', 'review', 'aim', 'report', 'kept_average', 'table', 'kit_kind', 'kit_item',
      'research_request', 'research_package') then
    raise exception using errcode = '42501', message = 'versions write their own audit';
  end if;
  insert into audit.entry (actor_id, site_id, action, object, object_id, about, reason, detail)
  values (access.current_actor(), p_site_id, p_action, p_object, p_object_id, p_about, p_reason, p_detail);
end
$$;

create or replace function audit.action_of(p_object text, p_status text, p_version integer) returns text
  language sql immutable set search_path = pg_catalog as $$
  select case when p_object = 'report' and p_status = 'final' then 'finalised'
    when p_status = 'preliminary' then case when p_version = 1 then 'recorded' else 'amended' end
    when p_status = 'final' then 'recorded'
    when p_status in ('amended', 'moved', 'asked', 'approved', 'refused') then p_status
    else 'withdrawn' end
$$;

create trigger step_stamp before insert on research.step for each row execute function audit.stamp_version();
create trigger step_audit after insert on research.step
  for each row execute function audit.record_row('research_request', 'request_id');

-- No package is made or fetched without a line in the audit, whatever the program does.
create function audit.package_left() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  insert into audit.entry (actor_id, site_id, action, object, object_id, detail)
  values (access.current_actor(), new.site_id, tg_argv[0], 'research_package', new.request_id,
    case tg_argv[0] when 'made' then jsonb_build_object('sha256', encode((to_jsonb(new) ->> 'sha256')::bytea, 'hex'),
      'rows', to_jsonb(new) -> 'row_count') end);
  return null;
end
$$;
comment on function audit.package_left() is 'Writes the audit line of a package that was made or fetched.';
create trigger package_audit after insert on research.package for each row execute function audit.package_left('made');
create trigger fetched_audit after insert on research.fetched for each row execute function audit.package_left('fetched');
revoke execute on function audit.package_left() from public;
