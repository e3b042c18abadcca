-- Makes the audit: one row per version of a record, written by a trigger when the transaction ends.
-- Why: no feature can forget to write it, and it holds a salted hash of the whole tree, never its content.
create table audit.entry (
  entry_id bigint generated always as identity primary key,
  at timestamptz not null default clock_timestamp(),
  actor_id integer not null references access.actor,
  site_id smallint not null references access.site,
  action text not null constraint entry_action_codes check (action in ('recorded', 'amended', 'withdrawn')),
  encounter_id uuid not null,
  version integer not null,
  hash bytea not null constraint entry_hash_length check (octet_length(hash) = 32)
);
comment on table audit.entry is 'Who did what to which record, and when.';
comment on column audit.entry.entry_id is 'Order of writing.';
comment on column audit.entry.at is 'When, by the clock of the database.';
comment on column audit.entry.actor_id is 'Who.';
comment on column audit.entry.site_id is 'The unit of the record.';
comment on column audit.entry.action is 'What was done.';
comment on column audit.entry.encounter_id is 'The record.';
comment on column audit.entry.version is 'The version that the action made.';
comment on column audit.entry.hash is 'SHA-256 over the salted tree of the version.';

-- Empty answers are dropped before hashing, so that a later migration may add a column without touching old hashes.
create function audit.tree_hash(p_site_id smallint, p_encounter_id uuid, p_version integer) returns bytea
  language sql stable set search_path = pg_catalog set timezone = 'UTC' as $$
  select sha256(convert_to(jsonb_strip_nulls(jsonb_build_array(
    (select to_jsonb(v) from encounter.version v
      where (v.site_id, v.encounter_id, v.version) = (p_site_id, p_encounter_id, p_version)),
    (select to_jsonb(p) from encounter.patient p
      where (p.site_id, p.encounter_id, p.version) = (p_site_id, p_encounter_id, p_version)),
    (select jsonb_agg(to_jsonb(c) order by c.course_no) from encounter.course c
      where (c.site_id, c.encounter_id, c.version) = (p_site_id, p_encounter_id, p_version)),
    (select jsonb_agg(to_jsonb(d) order by d.course_no, d.drug_no) from encounter.drug d
      where (d.site_id, d.encounter_id, d.version) = (p_site_id, p_encounter_id, p_version)),
    (select jsonb_agg(to_jsonb(a) order by a.attempt_no) from encounter.attempt a
      where (a.site_id, a.encounter_id, a.version) = (p_site_id, p_encounter_id, p_version)),
    (select jsonb_agg(to_jsonb(e) order by e.event_no) from encounter.event e
      where (e.site_id, e.encounter_id, e.version) = (p_site_id, p_encounter_id, p_version))
  ))::text, 'UTF8'))
$$;
comment on function audit.tree_hash(smallint, uuid, integer) is 'Hash of a version with its salt and all that hangs on it.';

create function audit.record_version() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  insert into audit.entry (actor_id, site_id, action, encounter_id, version, hash)
  values (new.recorded_by, new.site_id,
    case new.status when 'final' then 'recorded' when 'amended' then 'amended' else 'withdrawn' end,
    new.encounter_id, new.version, audit.tree_hash(new.site_id, new.encounter_id, new.version));
  return null;
end
$$;
comment on function audit.record_version() is 'Writes the audit row of a version once its whole tree is there.';

-- Deferred to the end of the transaction: the branches of the tree are inserted after its root.
create constraint trigger version_audit after insert on encounter.version
  deferrable initially deferred for each row execute function audit.record_version();

-- A version says who wrote it, and that is who acts: the application cannot write in another's name.
create function audit.stamp_version() returns trigger
  language plpgsql set search_path = pg_catalog as $$
begin
  new.recorded_by := access.current_actor();
  new.written_at := clock_timestamp();
  return new;
end
$$;
comment on function audit.stamp_version() is 'Sets who wrote a version, and when.';
create trigger version_stamp before insert on encounter.version
  for each row execute function audit.stamp_version();

alter table audit.entry enable row level security;
alter table audit.entry force row level security;
create policy owner_all on audit.entry to ${owner} using (true) with check (true);
create policy in_scope on audit.entry for select to ${app} using (site_id = any ((select access.scope())::smallint[]));
grant select on audit.entry to ${app};
revoke execute on all functions in schema audit from public;
grant execute on function audit.tree_hash(smallint, uuid, integer), audit.stamp_version() to ${app};
