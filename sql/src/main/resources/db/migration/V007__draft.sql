-- Makes drafts of records, and the list of keys they are encrypted with.
-- Why: what is typed must outlive a dead browser, and a half-filled record is no version: it is one encrypted row that
-- expires, is deleted when the record is saved, and counts nowhere.
create table access.key (
  key_no smallint primary key
    constraint key_no_range check (key_no between 1 and 255),
  check_value bytea not null
    constraint key_check_value_length check (octet_length(check_value) = 32),
  made_at timestamptz not null default clock_timestamp()
);
comment on table access.key is 'Which encryption keys this database was written with. The keys themselves never come here.';
comment on column access.key.key_no is 'Number of the key; it stands in front of everything the key encrypted.';
comment on column access.key.check_value is 'HMAC of a fixed text under the key: tells whether a key file is the right one.';
comment on column access.key.made_at is 'When the key was first used here.';
alter table access.key enable row level security;
alter table access.key force row level security;
create policy owner_all on access.key to ${owner} using (true) with check (true);
create policy for_an_actor on access.key to ${app}
  using ((select access.current_actor()) is not null) with check ((select access.current_actor()) is not null);
grant select, insert on access.key to ${app};

create table encounter.draft (
  site_id smallint not null references access.site,
  draft_id uuid not null,
  revision integer not null
    constraint draft_revision_range check (revision >= 1),
  writer uuid not null,
  sealed bytea not null
    constraint draft_sealed_length check (octet_length(sealed) between 30 and 131072),
  begun_at timestamptz not null,
  written_at timestamptz not null,
  written_by integer not null default access.current_actor() references access.actor,
  expires_at timestamptz not null,
  primary key (site_id, draft_id)
);
comment on table encounter.draft is 'A record being filled in. Anyone of the unit may go on with it; it is gone once saved, thrown away or expired.';
comment on column encounter.draft.site_id is 'The unit.';
comment on column encounter.draft.draft_id is 'The key of the filling-in, random; the record saved under it ends the draft.';
comment on column encounter.draft.revision is 'How often it was written.';
comment on column encounter.draft.writer is 'Which open page wrote it last, random: a page never overwrites what another page has written since.';
comment on column encounter.draft.sealed is 'The answers so far: number of the key, initialisation vector, AES-256-GCM ciphertext with its tag, bound to this row.';
comment on column encounter.draft.begun_at is 'When it was first written.';
comment on column encounter.draft.written_at is 'When it was last written.';
comment on column encounter.draft.written_by is 'Who wrote it last.';
comment on column encounter.draft.expires_at is 'When it is deleted if nobody goes on with it.';
create index draft_expiry on encounter.draft (expires_at);
alter table encounter.draft enable row level security;
alter table encounter.draft force row level security;
create policy owner_all on encounter.draft to ${owner} using (true) with check (true);
create policy in_scope on encounter.draft to ${app} using (site_id = any ((select access.scope())::smallint[]))
  with check (site_id = any ((select access.scope())::smallint[]));
grant select, insert, update, delete on encounter.draft to ${app};

-- Whether a record was saved under the key of a draft is asked at every keeping.
create index request_key on encounter.request (key);
