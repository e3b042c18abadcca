-- Notes at each attempt whether the one who records it held the laryngoscope.
-- Why: the registry can then count that person's earlier uses of a set-up, and asks only where it cannot.
alter table encounter.attempt
  add column operator_is_recorder text
    constraint attempt_operator_is_recorder_codes check (operator_is_recorder in ('yes', 'no', 'unk'));
comment on column encounter.attempt.operator_is_recorder is 'Held by whoever records it. Whether the operator of this attempt is the person who makes the record; lets the registry count that person''s earlier uses of a setup.';
create index attempt_by_recorder on encounter.attempt (site_id, device_setup_id) where operator_is_recorder = 'yes';
