package airway.registry.identity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What a hospital number is, and when two writings are the same one. */
class HospitalNumberTest {
    /** The last pair: a letter with its mark as one character, and as two (Unicode Standard Annex 15, form NFC). */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "A0012345|a 0012345",
                "A0012345|'  A 00 12\u00a0345 '",
                "ab-12/7|AB-12/7",
                "stra\u00dfe1|STRASSE1",
                "\u00c90012|E\u03010012"
            })
    void isTheSameHoweverItIsWritten(String one, String other) {
        assertThat(HospitalNumber.of(one).normal())
                .isEqualTo(HospitalNumber.of(other).normal());
    }

    @ParameterizedTest
    @CsvSource({"A0012345, A0012346", "A0012345, 0012345", "12-34, 1234", "O01, 001"})
    void isAnotherOneWhenAnyCharacterDiffers(String one, String other) {
        assertThat(HospitalNumber.of(one).normal())
                .isNotEqualTo(HospitalNumber.of(other).normal());
    }

    @ParameterizedTest
    @ValueSource(strings = {"1", "A 0012345", "123456789012345678901234567890", "\u0645-\u0661\u0662", "no/7.b"})
    void hasOneToThirtyPrintableCharacters(String typed) {
        assertThat(HospitalNumber.fault(typed)).isNull();
        assertThat(HospitalNumber.of(typed).shown()).isEqualTo(typed);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                "   ",
                "\u00a0",
                "1234567890123456789012345678901",
                "12\u001d34",
                "12\t34",
                "12\n34",
                "12\u200b34",
                "12\ufeff",
                "12\ud800",
                "12\ue000"
            })
    void isNothingElseAndTheFaultDoesNotRepeatIt(String typed) {
        assertThat(HospitalNumber.fault(typed)).contains("Type 1 to 30").doesNotContain("34");
        assertThatThrownBy(() -> HospitalNumber.of(typed)).isInstanceOf(IllegalArgumentException.class);
    }

    @Test
    void saysNothingOfItself() {
        assertThat(HospitalNumber.of("A0012345")).hasToString("a hospital number");
        assertThat(HospitalNumber.of("A0012345").ending()).isEqualTo("345");
        assertThat(HospitalNumber.of("12345").ending())
                .as("of a short number half would be told")
                .isEmpty();
    }

    @Test
    void isRecognisedInAReason() {
        HospitalNumber number = HospitalNumber.of("A0012345");
        assertThat(number.in("for a0 012 345, as asked")).isTrue();
        assertThat(number.in("as asked by the family")).isFalse();
    }
}
