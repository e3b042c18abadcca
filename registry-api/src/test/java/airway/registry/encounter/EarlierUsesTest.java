package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The bands are those of the dictionary: first use, 1 to 5, 6 to 20, more than 20. */
class EarlierUsesTest {
    @ParameterizedTest(name = "said {0}, then {1} uses without an answer: {2}")
    @CsvSource({
        "first, 0, 1_5",
        "first, 4, 1_5",
        "first, 5, 6_20",
        "first, 20, gt20",
        "1_5, 0, ask",
        "1_5, 4, 6_20",
        "6_20, 0, ask",
        "6_20, 14, gt20",
        "gt20, 0, gt20",
        "unk, 3, ask",
        "unk, 20, gt20",
    })
    void countsOnFromWhatWasSaid(String said, int further, String expected) {
        EarlierUses uses = EarlierUses.UNTOLD.after(said);
        for (int use = 0; use < further; use++) {
            uses = uses.after(null);
        }
        assertThat(uses.code().orElse("ask")).isEqualTo(expected);
    }

    @ParameterizedTest(name = "after the first use, said {0}: {1}")
    @CsvSource({"1_5, 1_5", "gt20, gt20", "6_20, ask"})
    void believesTheOperatorWhereTheRecordsContradict(String said, String expected) {
        assertThat(EarlierUses.UNTOLD.after("first").after(said).code().orElse("ask"))
                .isEqualTo(expected);
    }
}
