-- Which bits are those of a month stands in one row for each block, not in twelve; and of large blocks it is kept how many gave two answers.
-- Why: a chart asked of each of those rows whether its year changed since, and put months together again; of forty units and ten years that
-- took longer than to put the bits together. Bits grow with the records: where they are many, a chart by one question reads counts instead,
-- which grow with months and answers alone.
drop function analysis.tally(integer);

create table analysis.tally_block (
  site_id smallint not null references access.site,
  year smallint not null,
  part integer not null,
  months integer[] not null,
  firsts integer[] not null,
  times integer[] not null,
  counted boolean not null,
  block bigint not null generated always as ((site_id * 10000::bigint + year) * 100000 + part) stored primary key
);
create index tally_block_year on analysis.tally_block (site_id, year);
comment on table analysis.tally_block is 'The parts of the years that are tallied, and which bits are those of a month: they lie side by side.';
comment on column analysis.tally_block.site_id is 'The unit.';
comment on column analysis.tally_block.year is 'The year of the month in the fact rows.';
comment on column analysis.tally_block.part is 'As in analysis.tally.';
comment on column analysis.tally_block.months is 'The months that have a bit, 1 to 12, in order.';
comment on column analysis.tally_block.firsts is 'The first bit of each of these months, from 1.';
comment on column analysis.tally_block.times is 'How many bits each of these months has.';
comment on column analysis.tally_block.counted is 'Whether it has counts in analysis.tally_count: from 4096 bits on, since they take the room of about as many fact rows.';
comment on column analysis.tally_block.block is 'Unit, year and part as one number.';

create view analysis.tally_block_anew with (security_invoker = true) as
  select m.site_id, m.year, m.part, array_agg(m.month order by m.month) as months,
    array_agg(m.first order by m.month) as firsts, array_agg(m.times order by m.month) as times,
    sum(m.times) >= 4096 as counted
  from (
    select p.site_id, p.year, p.part, extract(month from p.month)::integer as month,
      (min(p.place) - p.part * 14336)::integer as first, count(*)::integer as times
    from analysis.tally_place p
    group by p.site_id, p.year, p.part, p.month
  ) m
  group by m.site_id, m.year, m.part;
comment on view analysis.tally_block_anew is 'What the blocks are made from, and compared with.';

insert into analysis.tally_block (site_id, year, part, months, firsts, times, counted)
  select m.site_id, m.year, m.part, array_agg(m.month order by m.month), array_agg(m.first order by m.month),
    array_agg(m.times order by m.month), sum(m.times) >= 4096
  from analysis.tally_month m
  group by m.site_id, m.year, m.part;
drop view analysis.tally_month_anew;
drop table analysis.tally_month;

create table analysis.tally_count (
  site_id smallint not null references access.site,
  year smallint not null,
  part integer not null,
  measured text not null,
  question text not null,
  answer integer not null,
  numbers integer[] not null,
  block bigint not null generated always as ((site_id * 10000::bigint + year) * 100000 + part) stored,
  primary key (measured, question, answer, block)
);
create index tally_count_year on analysis.tally_count (site_id, year);
comment on table analysis.tally_count is 'Of large blocks, what was measured of those who gave one answer to one question, by month.';
comment on column analysis.tally_count.site_id is 'The unit.';
comment on column analysis.tally_count.year is 'The year of the month in the fact rows.';
comment on column analysis.tally_count.part is 'As in analysis.tally.';
comment on column analysis.tally_count.measured is 'Name of the column of the fact row that holds what is measured.';
comment on column analysis.tally_count.question is 'Name of the column of the fact row that holds the answer; empty for all fact rows.';
comment on column analysis.tally_count.answer is 'As in analysis.tally; -1 for all fact rows.';
comment on column analysis.tally_count.numbers is 'For each of the months of the block four numbers: the sum of what was measured, how many count, how many do not, and how many of these are not known.';
comment on column analysis.tally_count.block is 'Unit, year and part as one number.';

create view analysis.tally_count_anew with (security_invoker = true) as
  with asked as (
    select t.site_id, t.year, t.part, t.question, t.answer, t.records
    from analysis.tally t
    where t.question in (select c.variable from analysis.code c)
    union all
    select b.site_id, b.year, b.part, '', -1, repeat('1', (select sum(n) from unnest(b.times) n)::integer)::bit varying
    from analysis.tally_block b
  ), of_month as (
    select b.site_id, b.year, b.part, m.question as measured, a.question, a.answer, o.month, array[
      coalesce(sum(o.n * m.answer) filter (where m.answer > 0), 0)::integer,
      coalesce(sum(o.n) filter (where m.answer >= 0), 0)::integer,
      coalesce(sum(o.n) filter (where m.answer < 0), 0)::integer,
      coalesce(sum(o.n) filter (where m.answer = -1), 0)::integer] as numbers
    from analysis.tally_block b
    join analysis.tally m using (site_id, year, part)
    join asked a using (site_id, year, part)
    -- Put together once, cut once for each month. The part is asked again, since this may come before the join by it.
    cross join lateral (select m.records & a.records as records where m.part = a.part offset 0) p
    cross join lateral (
      select u.month, bit_count(substring(p.records from u.first for u.times)) as n
      from unnest(b.months, b.firsts, b.times) u (month, first, times)
      offset 0
    ) o
    where b.counted and m.question not in (select c.variable from analysis.code c) and m.question not in (
      'setup_no', 'spo2_low', 'duration_co2', 'duration_tube_placed', 'duration_confirmed', 'duration_blade_out')
    group by b.site_id, b.year, b.part, m.question, a.question, a.answer, o.month
  )
  select o.site_id, o.year, o.part, o.measured, o.question, o.answer, array_agg(o.numbers order by o.month) as numbers
  from of_month o
  group by o.site_id, o.year, o.part, o.measured, o.question, o.answer;
comment on view analysis.tally_count_anew is 'What the counts are made from, and compared with: the bits.';

-- The marks go first and the rows are counted after: what is written in between leaves a mark of its own.
create function analysis.tally(p_most integer) returns integer language plpgsql set search_path = pg_catalog set work_mem = '64MB' as $$
declare
  v_due record;
  v_done integer := 0;
begin
  if not pg_try_advisory_xact_lock(hashtextextended('analysis.tally', 0)) then
    return 0;
  end if;
  for v_due in select distinct d.site_id, d.year from analysis.tally_due d limit p_most loop
    delete from analysis.tally_due d where (d.site_id, d.year) = (v_due.site_id, v_due.year);
    delete from analysis.tally t where (t.site_id, t.year) = (v_due.site_id, v_due.year);
    delete from analysis.tally_block t where (t.site_id, t.year) = (v_due.site_id, v_due.year);
    delete from analysis.tally_count t where (t.site_id, t.year) = (v_due.site_id, v_due.year);
    delete from analysis.tally_value t where (t.site_id, t.year) = (v_due.site_id, v_due.year);
    insert into analysis.tally (site_id, year, part, question, answer, records)
      select a.* from analysis.tally_anew a where a.site_id = v_due.site_id and a.year = v_due.year;
    insert into analysis.tally_block (site_id, year, part, months, firsts, times, counted)
      select a.* from analysis.tally_block_anew a where a.site_id = v_due.site_id and a.year = v_due.year;
    insert into analysis.tally_count (site_id, year, part, measured, question, answer, numbers)
      select a.* from analysis.tally_count_anew a where a.site_id = v_due.site_id and a.year = v_due.year;
    insert into analysis.tally_value (site_id, year, part, question, answers)
      select a.* from analysis.tally_value_anew a where a.site_id = v_due.site_id and a.year = v_due.year;
    v_done := v_done + 1;
  end loop;
  return v_done;
end $$;
comment on function analysis.tally(integer) is 'Tallies marked years again, up to so many; tells how many. Nothing while another transaction does.';

insert into analysis.tally_due (site_id, year) select distinct b.site_id, b.year from analysis.tally_block b where b.counted;

do $$
declare v_table text;
begin
  foreach v_table in array array['tally_block', 'tally_count'] loop
    execute format('alter table analysis.%I enable row level security', v_table);
    execute format('alter table analysis.%I force row level security', v_table);
    execute format('create policy owner_all on analysis.%I to ${owner} using (true) with check (true)', v_table);
    -- One bit for each row: see V018.
    execute format('create policy in_scope on analysis.%I to ${app} using (get_bit((select access.scope_bits()), site_id)::boolean) '
      'with check (site_id = any ((select access.scope())::smallint[]))', v_table);
    execute format('grant select, insert, delete on analysis.%I to ${app}', v_table);
  end loop;
end $$;
grant select on analysis.tally_block_anew, analysis.tally_count_anew to ${app};
revoke execute on function analysis.tally(integer) from public;
grant execute on function analysis.tally(integer) to ${app};
