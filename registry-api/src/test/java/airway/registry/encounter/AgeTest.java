package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class AgeTest {
    @ParameterizedTest(name = "{1} {0} are {2} days")
    @CsvSource({
        "DAYS, 0, 0",
        "DAYS, 27, 27",
        "WEEKS, 4, 28",
        "MONTHS, 1, 30",
        "MONTHS, 7, 213",
        "MONTHS, 12, 365",
        "YEARS, 1, 365",
        "YEARS, 3, 1095",
        "YEARS, 8, 2922",
        "YEARS, 17, 6209"
    })
    void countsCompletedDays(Age unit, int number, int days) {
        assertThat(unit.days(number)).isEqualTo(days);
    }

    @ParameterizedTest
    @CsvSource({"YEARS, 18", "MONTHS, 216"})
    void takesEighteenYearsForAnAdult(Age unit, int number) {
        assertThat(unit.days(number)).isEqualTo(6575);
    }
}
