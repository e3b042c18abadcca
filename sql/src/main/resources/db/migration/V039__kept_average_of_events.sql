-- Averages are kept, too, of what lies between two events, and of groups of so many encounters: of the whole stretches or
-- groups of a period, as they stood on the day.

alter table charts.kept_average
  drop constraint kept_average_span_codes,
  add constraint kept_average_span_codes check (span in ('month', 'quarter', 'year', 'event') or span ~ '^n:[1-9][0-9]{0,3}$');
comment on column charts.kept_average.span is 'What one point stands for: a span of the calendar, n:25 for 25 encounters in order, event for the stretch from one event to the next.';
comment on column charts.kept_average.starts is 'First day of each point of the period; of a stretch from one event to the next the day it ended.';
comment on column charts.kept_average.xs is 'Encounters with the outcome, or events, by point; 0 for values, 1 for a stretch from one event to the next.';
comment on column charts.kept_average.ns is 'Encounters that counted, by point; of a stretch those after the event before, the event that ends it included.';
comment on column charts.kept_average.middles is 'What was plotted, by point: fraction, events per encounter, median of values, or days of a stretch; null without a case.';
