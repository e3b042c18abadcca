-- Makes the schemes of severity, and their answers in the fact row.
-- Why: published lists differ, so severity is never typed: it is looked up from the type of the event by a scheme that is
-- named, and numbered, beside every figure. A scheme that changes gets a new version; a version is never edited.
--
-- A: Lee 2016, BMC Pediatr 16:58, table 4 (read).
-- B: the usual later list of the same group (from memory), which calls a tooth injury not severe.
-- C: our own, the default: severe where A or B says severe.
-- listed: false where the published list has no such type, and the class is our own decision.
-- by_reviewer: another event has no class before somebody has read it, so its severity is not known.
-- apart: a failure of the kit is told apart from harm to the patient.
create table analysis.severity (
  scheme text not null
    constraint severity_scheme_form check (scheme ~ '^[A-Z]$'),
  version smallint not null
    constraint severity_version_range check (version between 1 and 999),
  event_type text not null,
  class text not null
    constraint severity_class_codes check (class in ('severe', 'non_severe', 'apart', 'by_reviewer')),
  listed boolean not null,
  primary key (scheme, version, event_type)
);
comment on table analysis.severity is 'How severe a type of event is, by scheme and version.';
comment on column analysis.severity.scheme is 'Name of the scheme.';
comment on column analysis.severity.version is 'Its version; the highest is in force.';
comment on column analysis.severity.event_type is 'Type of the event, a code of the dictionary.';
comment on column analysis.severity.class is 'severe, non_severe, apart (not counted as harm) or by_reviewer (not known before it is read).';
comment on column analysis.severity.listed is 'Whether the published list has this type; false: our own decision.';
insert into analysis.severity (scheme, version, event_type, class, listed) values
  ('A', 1, 'arrest_rosc', 'severe', true),
  ('A', 1, 'arrest_death', 'severe', true),
  ('A', 1, 'cannot_oxygenate', 'severe', false),
  ('A', 1, 'front_of_neck_emergency', 'severe', false),
  ('A', 1, 'oesophageal_late', 'severe', true),
  ('A', 1, 'aspiration', 'severe', true),
  ('A', 1, 'hypotension_treated', 'severe', true),
  ('A', 1, 'laryngospasm', 'severe', true),
  ('A', 1, 'malignant_hyperthermia', 'severe', true),
  ('A', 1, 'pneumothorax', 'severe', true),
  ('A', 1, 'dental_trauma', 'severe', true),
  ('A', 1, 'airway_injury', 'severe', false),
  ('A', 1, 'bronchial', 'non_severe', true),
  ('A', 1, 'oesophageal_now', 'non_severe', true),
  ('A', 1, 'vomiting', 'non_severe', true),
  ('A', 1, 'bradycardia', 'non_severe', true),
  ('A', 1, 'dysrhythmia', 'non_severe', true),
  ('A', 1, 'hypertension_treated', 'non_severe', true),
  ('A', 1, 'epistaxis', 'non_severe', true),
  ('A', 1, 'lip_trauma', 'non_severe', true),
  ('A', 1, 'drug_error', 'non_severe', true),
  ('A', 1, 'pain_delay', 'non_severe', true),
  ('A', 1, 'kit_failure', 'apart', false),
  ('A', 1, 'other', 'by_reviewer', true),
  ('B', 1, 'arrest_rosc', 'severe', true),
  ('B', 1, 'arrest_death', 'severe', true),
  ('B', 1, 'cannot_oxygenate', 'severe', false),
  ('B', 1, 'front_of_neck_emergency', 'severe', false),
  ('B', 1, 'oesophageal_late', 'severe', true),
  ('B', 1, 'aspiration', 'severe', true),
  ('B', 1, 'hypotension_treated', 'severe', true),
  ('B', 1, 'laryngospasm', 'severe', true),
  ('B', 1, 'malignant_hyperthermia', 'severe', true),
  ('B', 1, 'pneumothorax', 'severe', true),
  ('B', 1, 'dental_trauma', 'non_severe', true),
  ('B', 1, 'airway_injury', 'severe', true),
  ('B', 1, 'bronchial', 'non_severe', true),
  ('B', 1, 'oesophageal_now', 'non_severe', true),
  ('B', 1, 'vomiting', 'non_severe', true),
  ('B', 1, 'bradycardia', 'non_severe', true),
  ('B', 1, 'dysrhythmia', 'non_severe', true),
  ('B', 1, 'hypertension_treated', 'non_severe', true),
  ('B', 1, 'epistaxis', 'non_severe', true),
  ('B', 1, 'lip_trauma', 'non_severe', true),
  ('B', 1, 'drug_error', 'non_severe', true),
  ('B', 1, 'pain_delay', 'non_severe', true),
  ('B', 1, 'kit_failure', 'apart', false),
  ('B', 1, 'other', 'by_reviewer', true),
  ('C', 1, 'arrest_rosc', 'severe', false),
  ('C', 1, 'arrest_death', 'severe', false),
  ('C', 1, 'cannot_oxygenate', 'severe', false),
  ('C', 1, 'front_of_neck_emergency', 'severe', false),
  ('C', 1, 'oesophageal_late', 'severe', false),
  ('C', 1, 'aspiration', 'severe', false),
  ('C', 1, 'hypotension_treated', 'severe', false),
  ('C', 1, 'laryngospasm', 'severe', false),
  ('C', 1, 'malignant_hyperthermia', 'severe', false),
  ('C', 1, 'pneumothorax', 'severe', false),
  ('C', 1, 'dental_trauma', 'severe', false),
  ('C', 1, 'airway_injury', 'severe', false),
  ('C', 1, 'bronchial', 'non_severe', false),
  ('C', 1, 'oesophageal_now', 'non_severe', false),
  ('C', 1, 'vomiting', 'non_severe', false),
  ('C', 1, 'bradycardia', 'non_severe', false),
  ('C', 1, 'dysrhythmia', 'non_severe', false),
  ('C', 1, 'hypertension_treated', 'non_severe', false),
  ('C', 1, 'epistaxis', 'non_severe', false),
  ('C', 1, 'lip_trauma', 'non_severe', false),
  ('C', 1, 'drug_error', 'non_severe', false),
  ('C', 1, 'pain_delay', 'non_severe', false),
  ('C', 1, 'kit_failure', 'apart', false),
  ('C', 1, 'other', 'by_reviewer', false);
grant select on analysis.severity to ${app};

alter table analysis.fact
  add column ae_any smallint
    constraint fact_ae_any_codes check (ae_any in (-1, 0, 1)),
  add column ae_severe_a smallint
    constraint fact_ae_severe_a_codes check (ae_severe_a in (-1, 0, 1)),
  add column ae_severe_b smallint
    constraint fact_ae_severe_b_codes check (ae_severe_b in (-1, 0, 1)),
  add column ae_severe_c smallint
    constraint fact_ae_severe_c_codes check (ae_severe_c in (-1, 0, 1));
comment on column analysis.fact.ae_any is 'Any adverse event: 1 yes, 0 no, -1 not known, null for a tube change.';
comment on column analysis.fact.ae_severe_a is 'A severe event by scheme A: 1 yes, 0 no, -1 not known, null for a tube change.';
comment on column analysis.fact.ae_severe_b is 'A severe event by scheme B: 1 yes, 0 no, -1 not known, null for a tube change.';
comment on column analysis.fact.ae_severe_c is 'A severe event by scheme C: 1 yes, 0 no, -1 not known, null for a tube change.';
