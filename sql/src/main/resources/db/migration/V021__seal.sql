-- Makes the chain over the audit: each committed entry is sealed with a hash over itself and the seal before it.
-- Why: whoever has the rights of the owner can change an entry; with the chain the change is found, and with a head of
-- the chain kept outside the database a deleted end is found too. Entries are sealed by the program a moment after they
-- were written, so that writers do not wait for each other.
create table audit.seal (
  seq bigint primary key constraint seal_seq_range check (seq >= 1),
  before bigint generated always as (nullif(seq - 1, 0)) stored
    constraint seal_no_gap references audit.seal,
  entry_id bigint not null constraint seal_once unique,
  previous bytea constraint seal_previous_length check (octet_length(previous) = 32),
  hash bytea not null constraint seal_hash_length check (octet_length(hash) = 32),
  constraint seal_first_alone check ((seq = 1) = (previous is null))
);
comment on table audit.seal is 'The chain: which entry was sealed when in the order, and the hash that holds it to all before it.';
comment on column audit.seal.seq is 'Place in the chain, from 1 without a gap.';
comment on column audit.seal.before is 'The place before it.';
comment on column audit.seal.entry_id is 'The entry. Not a foreign key: an entry that somebody removed must stay visible as missing.';
comment on column audit.seal.previous is 'Hash of the seal before it; none for the first.';
comment on column audit.seal.hash is 'SHA-256 over the canonical JSON (RFC 8785) of the entry, its place and the hash before it.';

-- Entries become visible out of order, so what is not sealed yet is kept as a list, in the transaction of the entry.
create table audit.unsealed (
  entry_id bigint primary key
);
comment on table audit.unsealed is 'Entries that wait to be sealed.';
comment on column audit.unsealed.entry_id is 'The entry.';

create function audit.await_seal() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
begin
  insert into audit.unsealed (entry_id) values (new.entry_id);
  return null;
end
$$;
comment on function audit.await_seal() is 'Puts a new entry on the list of those to be sealed.';
create trigger entry_await_seal after insert on audit.entry
  for each row execute function audit.await_seal();

create function audit.take_sealed() returns trigger
  language plpgsql security definer set search_path = pg_catalog as $$
declare
  v_sealed bigint;
  v_taken bigint;
begin
  select count(*) into v_sealed from sealed;
  delete from audit.unsealed u using sealed s where u.entry_id = s.entry_id;
  get diagnostics v_taken = row_count;
  if v_taken <> v_sealed then
    raise exception using errcode = '23514', constraint = 'seal_of_waiting',
      message = 'only an entry that waits to be sealed can be sealed';
  end if;
  return null;
end
$$;
comment on function audit.take_sealed() is 'Takes sealed entries off the list; refuses seals of anything else.';
create trigger seal_take_sealed after insert on audit.seal
  referencing new table as sealed for each statement execute function audit.take_sealed();

-- What was there before there was a chain is sealed at the next start.
insert into audit.unsealed (entry_id) select entry_id from audit.entry;

alter table audit.entry drop constraint entry_object_codes, drop constraint entry_action_codes;
alter table audit.entry
  add constraint entry_object_codes check (object in ('encounter', 'change', 'review', 'aim',
    'person', 'grant', 'token', 'session', 'identity', 'setting', 'unit', 'key', 'chain')),
  add constraint entry_action_codes check (action in ('recorded', 'amended', 'withdrawn',
    'added', 'invited', 'joined', 'signed_in', 'refused', 'signed_out', 'granted', 'ended', 'disabled', 'enabled',
    'reset', 'revoked', 'set', 'kept', 'seen', 'found', 'erased', 'rotated', 'verified'));
comment on table audit.entry is 'Who did what to which record, change, review, aim, person, grant, token, session, identity, setting, unit, key or the chain itself, and when.';
create index entry_of_chain on audit.entry (entry_id) where object = 'chain';
comment on index audit.entry_of_chain is 'Serves the question when the chain was last verified.';

-- Why a version was made is a code in its own table; who reads the audit sees the code and nothing else of the version.
create function audit.reason_code(p_object text, p_site_id smallint, p_object_id uuid, p_version integer) returns text
  language sql stable security definer set search_path = pg_catalog as $$
  select case when not access.house() then null
    when p_object = 'encounter' then (select reason_code from encounter.version
      where (site_id, encounter_id, version) = (p_site_id, p_object_id, p_version))
    when p_object = 'change' then (select reason_code from changes.version
      where (site_id, change_id, version) = (p_site_id, p_object_id, p_version))
    when p_object = 'review' then (select reason_code from reviews.version
      where (site_id, encounter_id, version) = (p_site_id, p_object_id, p_version))
  end
$$;
comment on function audit.reason_code(text, smallint, uuid, integer) is 'The coded reason of a version; none for the first, and for kinds without one.';

alter table audit.seal enable row level security;
alter table audit.seal force row level security;
create policy owner_all on audit.seal to ${owner} using (true) with check (true);
create policy house on audit.seal to ${app} using ((select access.house())) with check ((select access.house()));
alter table audit.unsealed enable row level security;
alter table audit.unsealed force row level security;
create policy owner_all on audit.unsealed to ${owner} using (true) with check (true);
create policy house on audit.unsealed for select to ${app} using ((select access.house()));
grant select, insert (seq, entry_id, previous, hash) on audit.seal to ${app};
grant select on audit.unsealed to ${app};
revoke execute on function audit.await_seal(), audit.take_sealed(), audit.reason_code(text, smallint, uuid, integer)
  from public;
grant execute on function audit.reason_code(text, smallint, uuid, integer) to ${app};
