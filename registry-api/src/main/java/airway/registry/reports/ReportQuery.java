package airway.registry.reports;

import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.reports.Tables.CORRECTION;
import static airway.sql.generated.reports.Tables.VERSION;
import static org.jooq.impl.DSL.count;

import airway.registry.access.Site;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.JSONB;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads reports out of a running transaction. */
final class ReportQuery {
    private final DSLContext dsl;
    private final Site site;

    ReportQuery(DSLContext dsl, Site site) {
        this.dsl = dsl;
        this.site = site;
    }

    /**
     * A report in the list.
     *
     * @param finalisedAt when it was made final, or null
     */
    record Line(
            Quarter quarter,
            int version,
            Instant writtenAt,
            @Nullable Instant finalisedAt) {}

    /** The reports of the unit that somebody wrote, the latest quarter first. */
    List<Line> all() {
        return dsl.select(VERSION.QUARTER, VERSION.VERSION_, VERSION.STATUS, VERSION.WRITTEN_AT)
                .distinctOn(VERSION.QUARTER)
                .from(VERSION)
                .where(VERSION.SITE_ID.eq(site.no()))
                .orderBy(VERSION.QUARTER.desc(), VERSION.VERSION_.desc())
                .fetch(row -> {
                    Instant at = row.get(VERSION.WRITTEN_AT).toInstant();
                    return new Line(
                            Quarter.starting(row.get(VERSION.QUARTER)),
                            row.get(VERSION.VERSION_),
                            at,
                            row.get(VERSION.STATUS).equals("final") ? at : null);
                });
    }

    /** The version that counts; empty while nobody wrote. */
    Optional<Kept> newest(Quarter quarter) {
        return dsl.selectFrom(VERSION)
                .where(of(quarter))
                .orderBy(VERSION.VERSION_.desc())
                .limit(1)
                .fetchOptional(row -> kept(row));
    }

    /** Every version, the first one first. */
    List<Kept> versions(Quarter quarter) {
        return dsl.selectFrom(VERSION)
                .where(of(quarter))
                .orderBy(VERSION.VERSION_)
                .fetch(row -> kept(row));
    }

    private Condition of(Quarter quarter) {
        return VERSION.SITE_ID.eq(site.no()).and(VERSION.QUARTER.eq(quarter.firstDay()));
    }

    private Kept kept(Record row) {
        JSONB frozen = row.get(VERSION.FROZEN);
        OffsetDateTime cutOff = row.get(VERSION.CUT_OFF);
        String software = row.get(VERSION.SOFTWARE);
        return new Kept(
                site,
                row.get(VERSION.REPORT_ID),
                row.get(VERSION.VERSION_),
                Quarter.starting(row.get(VERSION.QUARTER)),
                new Texts(
                        row.get(VERSION.CONTEXT),
                        row.get(VERSION.LEARNED),
                        row.get(VERSION.NEXT_STEPS),
                        row.get(VERSION.ASKED_FOR),
                        row.get(VERSION.READ_WITH_CARE)),
                frozen == null || cutOff == null || software == null
                        ? null
                        : Snapshot.read(frozen.data(), cutOff.toInstant(), software, row.get(VERSION.SEAL_SEQ)),
                row.get(VERSION.WRITTEN_AT).toInstant());
    }

    /** What happened to the records of a final report since. */
    Corrections corrections(UUID report) {
        Field<Integer> number = count();
        Corrections.Since quarter = Corrections.Since.NOTHING;
        Corrections.Since earlier = Corrections.Since.NOTHING;
        for (Record row : dsl.select(CORRECTION.IN_QUARTER, CORRECTION.KIND, number)
                .from(CORRECTION)
                .where(CORRECTION.SITE_ID.eq(site.no()), CORRECTION.REPORT_ID.eq(report))
                .groupBy(CORRECTION.IN_QUARTER, CORRECTION.KIND)) {
            if (row.get(CORRECTION.IN_QUARTER)) {
                quarter = plus(quarter, row.get(CORRECTION.KIND), row.get(number));
            } else {
                earlier = plus(earlier, row.get(CORRECTION.KIND), row.get(number));
            }
        }
        return new Corrections(quarter, earlier);
    }

    private static Corrections.Since plus(Corrections.Since since, String kind, int number) {
        return switch (kind) {
            case "amended" -> new Corrections.Since(since.amended() + number, since.added(), since.withdrawn());
            case "added" -> new Corrections.Since(since.amended(), since.added() + number, since.withdrawn());
            default -> new Corrections.Since(since.amended(), since.added(), since.withdrawn() + number);
        };
    }

    /** A record that a report rests on. */
    record Counted(UUID encounter, int version, boolean inQuarter) {}

    /** The records of the two years up to the end of a quarter. */
    List<Counted> counted(Quarter quarter) {
        Field<Boolean> inQuarter = DSL.field(FACT.MONTH.ge(quarter.firstDay())).as("in_quarter");
        return dsl.select(FACT.ENCOUNTER_ID, FACT.VERSION, inQuarter)
                .from(FACT)
                .where(
                        FACT.SITE_ID.eq(site.no()),
                        FACT.MONTH.between(
                                quarter.counted().atDay(1), quarter.to().atDay(1)))
                .fetch(row -> new Counted(row.value1(), row.value2(), row.value3()));
    }

    /** The newest place in the chain over the audit; null while nothing is sealed. */
    @Nullable
    Long newestSeal() {
        return dsl.select(DSL.field("audit.newest_seal()", Long.class))
                .fetchSingle()
                .value1();
    }
}
