-- Makes the place of the hospital number of the child: a schema of its own, one sealed row per record, and a keyed hash
-- to find all records of one child by.
-- Why: the number joins the register to a person. It is no part of the record: no version, no hash, no fact row and no
-- export knows it, it cannot be read here without a key from outside, and it can be erased while the record stays.
create schema identity;
comment on schema identity is 'Which child a record is about, sealed: kept apart from the record, and erased before it.';
grant usage on schema identity to ${app};

-- A key to find by belongs to each key to seal with, and is another one: whoever can find cannot open.
alter table access.key
  add column lookup_check_value bytea
    constraint key_lookup_check_value_length check (octet_length(lookup_check_value) = 32);
comment on column access.key.lookup_check_value is 'The same for the key to find by that goes with it; empty until something was written with that one.';
grant update (lookup_check_value) on access.key to ${app};

create table identity.hospital_number (
  site_id smallint not null references access.site,
  encounter_id uuid not null,
  sealed bytea not null
    constraint hospital_number_sealed_length check (octet_length(sealed) between 30 and 160),
  lookup bytea not null
    constraint hospital_number_lookup_length check (octet_length(lookup) = 32),
  kept_at timestamptz not null default clock_timestamp(),
  primary key (site_id, encounter_id),
  foreign key (site_id, encounter_id) references encounter.encounter
);
comment on table identity.hospital_number is 'The hospital number of the child of a record. Changed and erased in place; never a version, never in an export.';
comment on column identity.hospital_number.site_id is 'The unit.';
comment on column identity.hospital_number.encounter_id is 'The record.';
comment on column identity.hospital_number.sealed is 'Number of the key, initialisation vector, AES-256-GCM ciphertext with its tag, bound to this row.';
comment on column identity.hospital_number.lookup is 'HMAC-SHA-256 of unit and number under the key to find by of the same number.';
comment on column identity.hospital_number.kept_at is 'When it was entered or last changed, by the clock of the database.';
create index hospital_number_lookup on identity.hospital_number (site_id, lookup);
create index hospital_number_key on identity.hospital_number (get_byte(sealed, 0));
comment on index identity.hospital_number_key is 'Serves sealing anew: rows by the number of their key.';

alter table identity.hospital_number enable row level security;
alter table identity.hospital_number force row level security;
create policy owner_all on identity.hospital_number to ${owner} using (true) with check (true);
create policy in_scope on identity.hospital_number to ${app}
  using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select, insert, delete, update (sealed, lookup, kept_at) on identity.hospital_number to ${app};

create view identity.record with (security_invoker = true) as
  select e.site_id, e.encounter_id, v.recorded_at, v.encounter_start as started_at,
         coalesce(v.encounter_start_precision, 'minute') as precision, v.status = 'entered-in-error' as withdrawn
  from encounter.encounter e
  join encounter.version v on (v.site_id, v.encounter_id, v.version) = (e.site_id, e.encounter_id, e.current_version);
comment on view identity.record is 'What this schema must know of a record: whose it is, when it was made, when it was about, whether it counts.';
grant select on identity.record to ${app};
