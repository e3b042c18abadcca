package airway.registry.demo;

import java.time.DayOfWeek;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.YearMonth;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The records of one invented unit: so many full months before the present one, and the present one up to now.
 *
 * <p>The same seed in the same month gives the same records; within the month, later ones are added.
 */
final class InventedRecords {
    private static final ZoneId ZONE = ZoneId.of(Scenario.ZONE);

    private final long seed;
    private final UnitPlan unit;
    private final Instant now;

    InventedRecords(long seed, UnitPlan unit, Instant now) {
        this.seed = seed;
        this.unit = unit;
        this.now = now;
    }

    /** All records by month, each month in the order of their starts. */
    List<List<InventedRecord>> byMonth(int months) {
        YearMonth present = YearMonth.from(now.atZone(ZONE));
        List<List<InventedRecord>> records = new ArrayList<>();
        for (int ago = months; ago >= 0; ago--) {
            records.add(month(present.minusMonths(ago), ago));
        }
        return records;
    }

    /** All records in the order of their starts. */
    List<InventedRecord> of(int months) {
        return byMonth(months).stream().flatMap(List::stream).toList();
    }

    private List<InventedRecord> month(YearMonth month, int ago) {
        Draws draws = Draws.of(seed, unit.code() + month);
        boolean odd = ago > 0 && ago == unit.change().oddMonthAgo();
        int count = odd ? UnitPlan.ODD_ENCOUNTERS : draws.negativeBinomial(unit.monthly(), 40);
        List<InventedRecord> records = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            String row = "demo:" + seed + ":" + unit.code() + "-" + month + "-" + (i + 1);
            // Every fourth first pass of the odd month succeeds: 6 of 24.
            Boolean given = odd ? i % (UnitPlan.ODD_ENCOUNTERS / UnitPlan.ODD_FIRST_PASSES) == 0 : null;
            InventedRecord record = record(Draws.of(seed, row), month, ago, given, row);
            if (record.start().toInstant().isBefore(now)) {
                records.add(record);
            }
        }
        records.sort(Comparator.comparing(record -> record.start().toInstant()));
        return records;
    }

    private InventedRecord record(Draws draws, YearMonth month, int ago, @Nullable Boolean given, String row) {
        boolean changed = ago <= unit.change().monthsAgo() && unit.change().monthsAgo() > 0;
        String kind = given == null
                ? draws.pick("initial 86, reint_failed_ext 6, reint_unplanned 5, tube_change 3")
                : draws.pick("initial 90, reint_failed_ext 10");
        Child child = Child.draw(unit, draws);
        List<Try> tries =
                new Tries(unit, child, draws).draw(changed, kind.equals("tube_change") ? Boolean.TRUE : given);
        Case truth = new Case(
                unit,
                start(month, draws),
                kind,
                changed,
                draws.pick(
                        unit.newborns()
                                ? "urgent 62, emergency 33, elective 5"
                                : "urgent 58, emergency 28, elective 14"),
                draws.pick("operator 54, supervisor 18, assistant 14, observer 4, later_chart 10"),
                child,
                tries,
                Saturations.draw(unit, child, tries.size(), draws),
                Harms.draw(unit, tries, draws));
        var body = EncounterBody.of(truth, draws);
        Gaps.make(body, truth, given != null, draws);
        return new InventedRecord(truth.start(), row, body);
    }

    /** Nights and weekends included, somewhat more by day and on working days; minutes rounded by one in three. */
    private static OffsetDateTime start(YearMonth month, Draws draws) {
        int day = draws.whole(1, month.lengthOfMonth());
        DayOfWeek weekday = month.atDay(day).getDayOfWeek();
        if (weekday.getValue() > DayOfWeek.FRIDAY.getValue() && draws.chance(0.25)) {
            day = Math.max(1, day - 2);
        }
        int hour = draws.chance(0.4) ? draws.whole(8, 18) : draws.whole(0, 23);
        int minute = draws.chance(0.33) ? 5 * draws.whole(0, 11) : draws.whole(0, 59);
        return month.atDay(day)
                .atTime(hour, minute)
                .atZone(ZONE)
                .toOffsetDateTime()
                .truncatedTo(ChronoUnit.MINUTES);
    }
}
