package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.problem.Fault;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** The reference page of the checks is made from the checks; this test keeps the two the same. */
class ChecksPageTest {
    private static final Path PAGE = Path.of("../docs/reference/checks.md");

    @Test
    void saysWhatIsChecked() throws IOException {
        String made = page();
        if (!made.equals(Files.exists(PAGE) ? Files.readString(PAGE) : "")) {
            Files.createDirectories(Path.of("target/pages"));
            Files.writeString(Path.of("target/pages/checks.md"), made);
        }
        assertThat(Files.readString(PAGE))
                .as("made anew: target/pages/checks.md")
                .isEqualTo(made);
    }

    private static String page() {
        StringBuilder page = new StringBuilder("""
                # Checks

                Made from the program (`Check`, `WeightForAge`). Limits of single answers stand on the page of the
                [variables](dictionary.md).

                ## Refused

                The two answers cannot both be true, or the record could not be counted.
                """);
        table(page, Fault.Severity.ERROR);
        page.append("""

                ## Asked about once

                Rare, and real now and then. The page asks whether it is right; the API answers 422 with severity
                `confirm`. Sent again with the pointer in `confirmed` it is kept, and the record says that it was
                confirmed. No check proposes a value.
                """);
        table(page, Fault.Severity.CONFIRM);
        page.append("""

                ## Weights that are asked about

                Kilograms, outside of which a weight is asked about; a straight line between the rows. Far wider than
                what is normal, and no judgement of growth. Where the gestation is not known, a baby in the first year
                may have been born at 23 weeks. A preterm baby's age is counted from term for the lower limit.

                | age, days | under | over |
                | --- | --- | --- |
                """);
        rows(page, WeightForAge.fromTerm());
        page.append("""

                | gestation, days | under | over |
                | --- | --- | --- |
                """);
        rows(page, WeightForAge.beforeTerm());
        page.append("""

                Sources: to five years the limits at which the WHO flags a weight as implausible, 6 standard deviations
                under and 5 over the median, worked out from its parameters (growth standards 2006, boys; reference
                2007, boys and girls at 5, 7 and 10 years; both data files read). From ten years half the 3rd and twice
                the 97th percentile of boys (CDC growth charts 2000, data file read). Before term half and twice the
                median for boys (Fenton 2013 BMC Pediatr 13:59, medians read in a public table made from it). Widened
                to round figures by us.
                """);
        return page.toString();
    }

    private static void table(StringBuilder page, Fault.Severity severity) {
        page.append("\n| code | what | why | source |\n| --- | --- | --- | --- |\n");
        for (Check check : Check.values()) {
            if (check.severity() == severity) {
                page.append(
                        "| `%s` | %s | %s | %s |%n".formatted(check.code(), check.what(), check.why(), check.source()));
            }
        }
    }

    private static void rows(StringBuilder page, WeightForAge.Row[] rows) {
        for (WeightForAge.Row row : rows) {
            page.append("| %d | %s | %s |%n".formatted(row.days(), shortest(row.least()), shortest(row.most())));
        }
    }

    private static String shortest(double number) {
        return number == Math.rint(number) ? String.valueOf((long) number) : String.valueOf(number);
    }
}
