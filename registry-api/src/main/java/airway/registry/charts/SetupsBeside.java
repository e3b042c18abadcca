package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import java.time.YearMonth;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jooq.DSLContext;

/**
 * First-pass success of the set-ups of a unit beside each other, for other rooms that print it: as recorded and like for like, in
 * the words of the comparison itself.
 *
 * @param groups every set-up that was used
 * @param says what the comparison tells, or why there is none
 * @param cautions what a reader has to know beside it
 */
public record SetupsBeside(List<Group> groups, List<String> says, List<String> cautions) {
    /** Stands where there is no share. */
    static final String NOTHING = "\u2013";

    /**
     * A set-up.
     *
     * @param recorded its count with an interval, or that it holds too few
     * @param alike its share in the same mix of cases, or why there is none
     */
    public record Group(String label, String recorded, String alike) {}

    /** Whether any set-up has a share in the same mix of cases. */
    public boolean compared() {
        return groups.stream().anyMatch(group -> !group.alike().equals(NOTHING));
    }

    /** Inside a running transaction; both months belong to the stretch. */
    public static SetupsBeside of(DSLContext dsl, Site site, YearMonth from, YearMonth to) {
        Measure measure = Measure.FPS;
        Cohort cohort = new Cohort(List.of(site), from, to, Map.of(), Set.of());
        Comparing comparing = new Comparing(List.of(), Comparisons.USUAL, true, null);
        return ComparisonView.of(comparing.of(
                        measure,
                        null,
                        Comparisons.SETUP,
                        cohort,
                        new CountQuery(dsl, measure, null, cohort).cells(List.of(), comparing.questions())))
                .printed();
    }
}
