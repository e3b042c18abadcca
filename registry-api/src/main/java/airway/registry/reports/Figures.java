package airway.registry.reports;

import airway.registry.access.Site;
import airway.registry.aims.Aim;
import airway.registry.aims.Aims;
import airway.registry.changes.Change;
import airway.registry.changes.Changes;
import airway.registry.charts.Picture;
import airway.registry.charts.Pictures;
import airway.registry.charts.SetupsBeside;
import airway.registry.cohort.Measure;
import airway.registry.quality.Completeness;
import airway.registry.release.ToldShares;
import airway.registry.release.ToldShares.Share;
import airway.registry.reviews.Reviewed;
import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;

/**
 * The numbers of a quarter, read at one moment.
 *
 * @param asOf the moment
 * @param over whether the quarter was over by then
 * @param records of the quarter
 * @param recordsOfTwoYears of the two years up to its end
 * @param nominal of these, the ones whose date was made up for order only
 * @param measures in the order of the report, those of the first page first
 * @param aim what the unit wants to improve, or null
 * @param changes of practice in the two years, in order
 * @param setups beside each other over the two years
 * @param reviewed how far the case reviews of the quarter have come
 */
record Figures(
        Site site,
        Quarter quarter,
        Instant asOf,
        boolean over,
        long records,
        long recordsOfTwoYears,
        long nominal,
        List<Figure> measures,
        Completeness completeness,
        @Nullable Aim aim,
        List<Change> changes,
        Map<Measure, Picture> pictures,
        SetupsBeside setups,
        Reviewed reviewed) {
    /** What the first page is about. */
    static final List<Measure> FIRST_PAGE = List.of(Measure.FPS, Measure.DESAT_80, Measure.SUSTAINED_CO2);

    private static final List<Measure> ALWAYS = List.of(
            Measure.FPS_CLEAN,
            Measure.SUCCESS_2,
            Measure.ATTEMPTS_3PLUS,
            Measure.OVERALL_SUCCESS,
            Measure.AE_ANY,
            Measure.AE_SEVERE,
            Measure.DESAT_70,
            Measure.OESOPHAGEAL_ANY,
            Measure.CAPNO_USED,
            Measure.CHECKLIST);

    /**
     * A measure.
     *
     * @param quarter what was counted in the quarter
     * @param year in the twelve months up to its end
     * @param before in the twelve months before these
     */
    record Figure(Measure measure, Tally quarter, Tally year, Tally before) {}

    /** Reads everything inside a running transaction whose queries see one moment. */
    static Figures read(DSLContext dsl, Site site, Quarter quarter, Instant asOf) {
        Aim aim = Aims.of(dsl, site).stream().findFirst().orElse(null);
        List<Measure> measures = measures(aim);
        FigureQuery query = new FigureQuery(dsl, site, quarter, measures);
        FigureQuery.Counts counts = query.counts();
        Map<Measure, Picture> pictures = new LinkedHashMap<>();
        for (Measure measure : FIRST_PAGE) {
            pictures.put(measure, Pictures.twoYears(dsl, site, measure, quarter.to(), asOf, "report-" + measure.id()));
        }
        LocalDate today = LocalDate.ofInstant(asOf, site.zone());
        return new Figures(
                site,
                quarter,
                asOf,
                quarter.over(today),
                counts.records(),
                counts.recordsOfTwoYears(),
                counts.nominal(),
                counts.figures(),
                Completeness.of(dsl, site, quarter.from(), quarter.to()),
                aim,
                changes(dsl, site, quarter),
                pictures,
                SetupsBeside.of(dsl, site, quarter.counted(), quarter.to()),
                Reviewed.of(dsl, site, quarter.from(), quarter.to()));
    }

    private static List<Measure> measures(@Nullable Aim aim) {
        Set<Measure> measures = new LinkedHashSet<>(FIRST_PAGE);
        if (aim != null) {
            Stream.of(List.of(aim.outcome()), aim.process(), aim.balancing())
                    .flatMap(List::stream)
                    .filter(measure -> measure.shape() == Measure.Shape.PROPORTION)
                    .forEach(measures::add);
        }
        measures.addAll(ALWAYS);
        return new ArrayList<>(measures);
    }

    private static List<Change> changes(DSLContext dsl, Site site, Quarter quarter) {
        LocalDate first = quarter.counted().atDay(1);
        LocalDate last = quarter.to().atEndOfMonth();
        return Changes.of(dsl, site).stream()
                .filter(change -> !change.on().isBefore(first) && !change.on().isAfter(last))
                .toList();
    }

    /** The same, with what would give a small number away beside all that was told outside the unit before marked. */
    Figures heldAgainstWhatWasTold(DSLContext dsl) {
        Set<Share> tellable = ToldShares.tellable(dsl, site, shares());
        List<Figure> held = measures.stream()
                .map(figure -> new Figure(
                        figure.measure(),
                        figure.quarter(),
                        figure.year().givingAway(!tellable.containsAll(year(figure))),
                        figure.before().givingAway(!tellable.containsAll(before(figure)))))
                .toList();
        return new Figures(
                site,
                quarter,
                asOf,
                over,
                records,
                recordsOfTwoYears,
                nominal,
                held,
                completeness,
                aim,
                changes,
                pictures,
                setups,
                reviewed);
    }

    /** The shares that are printed outside the unit. */
    List<Share> shares() {
        return measures.stream()
                .flatMap(figure -> Stream.concat(year(figure).stream(), before(figure).stream()))
                .toList();
    }

    private List<Share> year(Figure figure) {
        return share(figure.measure(), quarter.year(), quarter.to(), figure.year());
    }

    private List<Share> before(Figure figure) {
        return share(figure.measure(), quarter.counted(), quarter.year().minusMonths(1), figure.before());
    }

    private static List<Share> share(Measure measure, YearMonth from, YearMonth to, Tally tally) {
        return tally.n() > 0 && Readers.BOARD.mayPrint(measure, tally)
                ? List.of(new Share(measure, from, to, tally.x(), tally.n()))
                : List.of();
    }

    List<Figure> firstPage() {
        return measures.subList(0, FIRST_PAGE.size());
    }
}
