package airway.registry.research;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Worked vectors P15 and P16 of the registry's rules of privacy, computed there by other means: the key is 0, 1, 2 to 31. */
class PseudonymsTest {
    private static Pseudonyms of(String project) {
        byte[] key = new byte[32];
        for (int i = 0; i < key.length; i++) {
            key[i] = (byte) i;
        }
        return new Pseudonyms(key, project);
    }

    @ParameterizedTest
    @CsvSource({
        "PRJ-1, patient, 0001234, 25xex4selt4alcf5fwnkizya2a",
        "PRJ-2, patient, 0001234, odlbgt7z5idy3j2sffqtgkfjrq",
        "PRJ-1, operator, 0001234, sfb6xyjgypp4ccgln6iudwoacm",
        "PRJ-1, patient, ' 0001234 ', 25xex4selt4alcf5fwnkizya2a",
        "PRJ-1, patient, 1234, jiouwpr7usopozkaxfbqkhxexa"
    })
    void standsForAChildInOnePackageAlone(String project, String kind, String id, String expected) {
        assertThat(of(project).of(kind, id)).isEqualTo(expected);
    }

    @Test
    void isTheSameHoweverALetterIsComposed() {
        assertThat(of("PRJ-1").patient("Zo\u00eb-7")).isEqualTo("ynretedlg76jmjmopoxi6ziprq");
        assertThat(of("PRJ-1").patient("Zoe\u0308-7")).isEqualTo("ynretedlg76jmjmopoxi6ziprq");
    }

    @ParameterizedTest
    @CsvSource({"0001234, 2024-02-29, 2023-10-19", "0001234, 2024-03-02, 2023-10-21", "0005678, 2024-02-29, 2023-06-11"
    })
    void shiftsAllDaysOfAChildByOneNumber(String id, LocalDate day, LocalDate expected) {
        assertThat(of("PRJ-1").shifted(id, day)).isEqualTo(expected);
    }
}
