package airway.registry.reports;

import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import airway.registry.release.ToldShares;
import airway.registry.reports.Drafting.Origin;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** The quarterly reports of the units: drafted from the records as they are now, until one is made final. */
@Component
class Reports {
    private static final String BOARD = "Readers of the quarterly report outside the unit";

    private final ActorTransactions transactions;
    private final Clock clock;
    private final String software;

    Reports(ActorTransactions transactions, Clock clock, @Value("${airway.version}") String software) {
        this.transactions = transactions;
        this.clock = clock;
        this.software = software;
    }

    /** The reports of a unit that somebody wrote, the latest quarter first. */
    List<ReportQuery.Line> all(Site site) {
        return transactions.read(dsl -> new ReportQuery(dsl, site).all());
    }

    /**
     * The report of a quarter.
     *
     * @param unit code of the unit; null for the home unit
     * @throws Problem.Missing if the one who asks has no such unit
     * @throws Problem.QuarterAhead if the quarter has not begun
     */
    Report read(@Nullable String unit, Quarter quarter) {
        return transactions.read(dsl -> read(dsl, Sites.named(dsl, unit), quarter));
    }

    private Report read(DSLContext dsl, Site site, Quarter quarter) {
        LocalDate today = begun(site, quarter);
        ReportQuery query = new ReportQuery(dsl, site);
        Kept kept = query.newest(quarter).orElse(null);
        if (kept != null && kept.frozen() != null) {
            return new Report(
                    site,
                    quarter,
                    true,
                    kept,
                    kept.frozen().figures(),
                    kept.frozen().papers(),
                    query.corrections(kept.id()));
        }
        Figures figures = Figures.read(dsl, site, quarter, now());
        return new Report(
                site,
                quarter,
                quarter.over(today),
                kept,
                ReportJson.of(figures),
                papers(
                        figures,
                        figures.heldAgainstWhatWasTold(dsl),
                        kept == null ? Texts.NONE : kept.texts(),
                        new Origin(software, false, null)),
                Corrections.NONE);
    }

    private static Map<Readers, Paper> papers(Figures unit, Figures board, Texts texts, Origin origin) {
        Map<Readers, Paper> papers = new EnumMap<>(Readers.class);
        papers.put(Readers.UNIT, Drafting.paper(unit, texts, Readers.UNIT, origin));
        papers.put(Readers.BOARD, Drafting.paper(board, texts, Readers.BOARD, origin));
        return papers;
    }

    /**
     * Every version of what was written, the first one first.
     *
     * @throws Problem as {@link #read(String, Quarter)}
     */
    List<Kept> versions(@Nullable String unit, Quarter quarter) {
        return transactions.read(dsl -> {
            Site site = Sites.named(dsl, unit);
            begun(site, quarter);
            return new ReportQuery(dsl, site).versions(quarter);
        });
    }

    /**
     * Writes the texts of a report; what was written before stays readable.
     *
     * @param seen the version that the one who writes has read; 0 where nothing was written yet
     * @param body {@code {context?, learned?, next_steps?, asked_for?, read_with_care?}}
     * @throws Problem.ReportFinal if it was made final
     * @throws Problem.Stale if another version counts by now
     * @throws Problem.Invalid with every fault of the texts
     * @throws Problem as {@link #read(String, Quarter)}
     */
    Kept write(@Nullable String unit, Quarter quarter, int seen, JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.named(dsl, unit);
            begun(site, quarter);
            Kept before = hold(dsl, site, quarter, seen);
            Texts texts = ReportForm.read(body);
            if (before != null && before.texts().equals(texts)) {
                return before;
            }
            return add(dsl, next(site, quarter, before, texts, null));
        });
    }

    /**
     * Makes a report final: numbers, drawings and texts are kept as they are, and the shares that the board may read are told
     * from then on.
     *
     * @param seen the version that the one who finalises has read; 0 where nothing was written
     * @param body the texts it is to have, as for {@link #write}; null for those that were written
     * @throws Problem.ReportFinal if it was made final before
     * @throws Problem.QuarterRunning if the quarter is not over in the zone of the unit
     * @throws Problem.Stale if another version counts by now
     * @throws Problem as {@link #read(String, Quarter)}
     */
    Kept finalise(@Nullable String unit, Quarter quarter, int seen, @Nullable JsonNode body) {
        Moment moment = transactions.read(dsl -> moment(dsl, Sites.named(dsl, unit), quarter));
        return transactions.write(dsl -> {
            Site site = moment.figures().site();
            Kept before = hold(dsl, site, quarter, seen);
            if (!moment.figures().over()) {
                throw new Problem.QuarterRunning(quarter.to().atEndOfMonth().toString());
            }
            Texts texts = body != null ? ReportForm.read(body) : before == null ? Texts.NONE : before.texts();
            Origin origin = new Origin(software, true, moment.seal());
            ToldShares.hold(dsl, site);
            Figures board = moment.figures().heldAgainstWhatWasTold(dsl);
            Kept last = next(
                    site,
                    quarter,
                    before,
                    texts,
                    new Kept.Frozen(
                            moment.figures().asOf(),
                            software,
                            moment.seal(),
                            ReportJson.of(moment.figures()),
                            papers(moment.figures(), board, texts, origin)));
            Kept kept = add(dsl, last);
            new ReportStore(dsl).insert(last, moment.counted());
            ToldShares.tell(dsl, site, board.shares(), BOARD, "Report of the quarter " + quarter.words());
            return kept;
        });
    }

    /** What a final report rests on, all of it read at one moment: what comes later is told as a correction. */
    private record Moment(
            Figures figures,
            List<ReportQuery.Counted> counted,
            @Nullable Long seal) {}

    private Moment moment(DSLContext dsl, Site site, Quarter quarter) {
        begun(site, quarter);
        ReportQuery query = new ReportQuery(dsl, site);
        return new Moment(Figures.read(dsl, site, quarter, now()), query.counted(quarter), query.newestSeal());
    }

    /** The version that counts, while nobody else writes; null where there is none. */
    private static @Nullable Kept hold(DSLContext dsl, Site site, Quarter quarter, int seen) {
        new ReportStore(dsl).hold(site);
        Kept newest = new ReportQuery(dsl, site).newest(quarter).orElse(null);
        if (newest != null && newest.isFinal()) {
            throw new Problem.ReportFinal();
        }
        int version = newest == null ? 0 : newest.version();
        if (version != seen) {
            throw new Problem.Stale("\"v" + version + "\"");
        }
        return newest;
    }

    private Kept next(Site site, Quarter quarter, @Nullable Kept before, Texts texts, Kept.@Nullable Frozen frozen) {
        return new Kept(
                site,
                before == null ? UUID.randomUUID() : before.id(),
                before == null ? 1 : before.version() + 1,
                quarter,
                texts,
                frozen,
                now());
    }

    private static Kept add(DSLContext dsl, Kept kept) {
        new ReportStore(dsl).insert(kept);
        return new ReportQuery(dsl, kept.site()).newest(kept.quarter()).orElseThrow();
    }

    /** The present day of the unit. */
    private LocalDate begun(Site site, Quarter quarter) {
        LocalDate today = today(site);
        if (!quarter.begun(today)) {
            throw new Problem.QuarterAhead(Quarter.of(today).code());
        }
        return today;
    }

    /** Whether the one who asks may write reports of this unit. */
    boolean mayWrite(Site site) {
        return transactions.read(dsl -> Sites.may(dsl, site.no(), Right.IMPROVE));
    }

    LocalDate today(Site site) {
        return LocalDate.ofInstant(clock.instant(), site.zone());
    }

    private Instant now() {
        return clock.instant().truncatedTo(ChronoUnit.SECONDS);
    }
}
