-- Lets a record be amended and withdrawn: every version after the first carries the reason for it.
-- Why: the old version stays readable, and whoever reads the new one must be able to see what led to it.
alter table encounter.version
  add column reason_code text
    constraint version_reason_code_codes check (reason_code in (
      'mistyped', 'added_later', 'misunderstood', 'footage_review',
      'duplicate', 'wrong_patient', 'not_an_intubation', 'test_entry', 'other')),
  add column reason_text text
    constraint version_reason_text_length check (char_length(reason_text) between 1 and 500),
  add constraint version_reason_given check ((version = 1) = (reason_code is null)),
  add constraint version_reason_text_with_code check (reason_text is null or reason_code is not null);
comment on column encounter.version.reason_code is 'Why this version was made; empty for the first.';
comment on column encounter.version.reason_text is 'More about the reason, without anything about the patient; never leaves in an export.';
