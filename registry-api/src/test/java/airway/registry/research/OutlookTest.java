package airway.registry.research;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.cohort.Cohort;
import java.math.BigDecimal;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What research data would be like: who may leave, what is coarsened, what is refused. */
class OutlookTest {
    static Candidate child(String patient, int days, int year, String reason, boolean severe) {
        return child(patient, true, days, year, reason, severe);
    }

    private static Candidate child(String patient, boolean allowed, int days, int year, String reason, boolean severe) {
        return new Candidate(
                UUID.randomUUID(),
                1,
                patient,
                allowed,
                YearMonth.of(year, 3),
                LocalDate.of(year, 3, 5),
                days,
                new BigDecimal("8.2"),
                "f",
                reason,
                "no",
                "25_100",
                severe,
                false,
                List.of("yes", "1", "90-100", "no", "no", "direct", "straight"));
    }

    /** So many children, each second one with a severe event. */
    static List<Candidate> children(String name, int number, int days, int year, String reason) {
        List<Candidate> all = new ArrayList<>();
        for (int i = 0; i < number; i++) {
            all.add(child(name + i, days, year, reason, i % 2 == 0));
        }
        return all;
    }

    static Choice choice(Profile profile, KnownVariable... variables) {
        return new Choice(
                profile,
                false,
                List.of(variables),
                List.of(Answer.FPS),
                new Cohort(List.of(), null, null, Map.of(), Set.of()),
                null);
    }

    private static Outlook outlook(Profile profile, List<Candidate> all, KnownVariable... variables) {
        Coarsening coarsening = Coarsening.of(choice(profile, variables), all, all);
        return Outlook.of(coarsening, all.size(), 0, false, coarsening.coarse(Earlier.NONE));
    }

    private static Outlook.Plan plan(Outlook outlook) {
        return Objects.requireNonNull(outlook.plan());
    }

    @Test
    void keepsGroupsThatAreLargeEnoughAsFineAsTheyCanBe() {
        List<Candidate> all = new ArrayList<>(children("a", 6, 3, 2024, "apnoea"));
        all.addAll(children("b", 8, 400, 2025, "shock"));

        Outlook outlook = outlook(
                Profile.CONTROLLED,
                all,
                KnownVariable.AGE_DAYS,
                KnownVariable.ENCOUNTER_START,
                KnownVariable.WEIGHT_KG);

        assertThat(outlook.standingOut()).isZero();
        assertThat(plan(outlook).levels()).containsExactly(0, 0, 0);
        assertThat(plan(outlook).smallestGroup()).isEqualTo(6);
        assertThat(plan(outlook).risk().highest()).isLessThanOrEqualTo(0.2);
        assertThat(plan(outlook).removed()).isZero();
    }

    @Test
    void letsNobodyLeaveWhoObjectedOrWasNotAsked() {
        List<Candidate> all = new ArrayList<>(children("a", 10, 3, 2024, "apnoea"));
        all.set(0, child("a0", false, 3, 2024, "apnoea", true));

        Outlook outlook = outlook(Profile.CONTROLLED, all, KnownVariable.AGE_DAYS);

        assertThat(outlook.matching()).isEqualTo(10);
        assertThat(outlook.notAllowed()).isEqualTo(1);
        assertThat(outlook.rows()).isEqualTo(9);
    }

    @Test
    void countsAChildOnce() {
        List<Candidate> all = new ArrayList<>();
        for (int i = 0; i < 12; i++) {
            all.add(child("p" + i % 4, 3, 2024, "apnoea", i % 2 == 0));
        }

        Outlook outlook = outlook(Profile.CONTROLLED, all, KnownVariable.AGE_DAYS);

        assertThat(outlook.rows()).isEqualTo(12);
        assertThat(outlook.patients()).isEqualTo(4);
        assertThat(outlook.plan()).as("four children are fewer than five").isNull();
    }

    @Test
    void refusesGroupsOfWhichAllHadTheSameFate() {
        List<Candidate> all = new ArrayList<>();
        for (int i = 0; i < 30; i++) {
            all.add(child("p" + i, 3, 2024, "apnoea", false));
        }
        assertThat(outlook(Profile.CONTROLLED, all, KnownVariable.AGE_DAYS).plan())
                .isNull();
    }

    /** Seven variables of 1 500 children: more than eight hundred choices of levels. */
    @Test
    void judgesAllVariablesTogether() {
        List<Candidate> all = new ArrayList<>();
        for (int i = 0; i < 1_500; i++) {
            all.add(child(
                    "p" + i,
                    i * i % 6_000,
                    2022 + i % 4,
                    List.of("apnoea", "shock", "arrest").get(i % 3),
                    i % 5 == 0));
        }

        Outlook outlook = outlook(Profile.CONTROLLED, all, KnownVariable.values());

        assertThat(plan(outlook).smallestGroup()).isGreaterThanOrEqualTo(5);
        assertThat(plan(outlook).removed()).isLessThanOrEqualTo(75);
        assertThat(plan(outlook).risk().atRisk()).isZero();
    }

    @Test
    void wantsTwelveChildrenForWhatAnybodyMayHaveAndTellsNoYear() {
        List<Candidate> all = new ArrayList<>(children("a", 11, 3, 2024, "apnoea"));
        assertThat(outlook(Profile.PUBLIC, all, KnownVariable.ENCOUNTER_START).plan())
                .isNull();
        all.addAll(children("b", 1, 3, 2025, "apnoea"));

        Outlook outlook = outlook(Profile.PUBLIC, all, KnownVariable.ENCOUNTER_START);

        assertThat(OutlookJson.toldAs(outlook, plan(outlook), 0)).isEqualTo("steps of two years");
        assertThat(plan(outlook).smallestGroup()).isEqualTo(12);
    }

    @Test
    void groupsAReasonThatFewChildrenHave() {
        List<Candidate> all = new ArrayList<>(children("a", 40, 3, 2024, "apnoea"));
        all.addAll(children("b", 3, 3, 2024, "surfactant"));
        all.addAll(children("c", 4, 3, 2024, "arrest"));

        Outlook outlook = outlook(Profile.CONTROLLED, all, KnownVariable.INDICATION_MAIN);

        assertThat(plan(outlook).levels()).containsExactly(0);
        assertThat(plan(outlook).groups()).as("apnoea, and all that is rare").isEqualTo(2);
        assertThat(plan(outlook).smallestGroup()).isEqualTo(7);
        assertThat(plan(outlook).removed()).isZero();
    }

    @Test
    void tellsWhatIsLostByOutcome() {
        List<Candidate> all = new ArrayList<>(children("a", 60, 3, 2024, "apnoea"));
        all.addAll(children("b", 2, 400, 2024, "apnoea"));

        Outlook.Plan plan = plan(outlook(Profile.CONTROLLED, all, KnownVariable.AGE_DAYS));

        assertThat(plan.removed()).isEqualTo(2);
        assertThat(plan.lost().values()).extracting("removed").containsExactly(1L, 1L);
        assertThat(plan.lost().values()).extracting("all").containsExactly(31L, 31L);
    }

    /** Worked vector P17 of the registry's rules of privacy, in days: 27 is a newborn and 28 is not, 90 years are 90+. */
    @ParameterizedTest
    @CsvSource({
        "0, 0-6 d, 0-27 d, < 2 y",
        "6, 0-6 d, 0-27 d, < 2 y",
        "7, 7-27 d, 0-27 d, < 2 y",
        "27, 7-27 d, 0-27 d, < 2 y",
        "28, 28 d-2 mo, 28 d-23 mo, < 2 y",
        "730, 12-23 mo, 28 d-23 mo, < 2 y",
        "731, 2-4 y, 2-11 y, 2-17 y",
        "6573, 15-17 y, 12-17 y, 2-17 y",
        "6574, 18-89 y, 18-89 y, 18+ y",
        "32872, 90+ y, 90+ y, 18+ y"
    })
    void putsAgesIntoBands(int days, String first, String second, String third) {
        assertThat(KnownVariable.AGE_DAYS.levels(child("p", days, 2024, "apnoea", false), Set.of()))
                .containsExactly(first, second, third, "*");
    }

    @Test
    void hasWordsForEveryLevelOfEveryVariable() {
        Candidate one = child("p", 3, 2024, "apnoea", false);
        for (KnownVariable variable : KnownVariable.values()) {
            List<String> levels = variable.levels(one, Set.of());
            assertThat(levels).last().isEqualTo("*");
            for (int level = 0; level < levels.size(); level++) {
                assertThat(variable.words(level)).isNotBlank();
            }
            assertThat(variable.title()).isNotBlank();
        }
    }

    @Test
    void roundsToFives() {
        assertThat(List.of(0L, 1L, 2L, 3L, 7L, 8L, 12L, 13L))
                .extracting(OutlookJson::rounded)
                .containsExactly(0L, 0L, 0L, 5L, 5L, 10L, 10L, 15L);
    }
}
