package airway.registry.quality;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** A count of intubations of one month by another source, as typed. */
final class CountForm {
    private static final Variable MEANING = Dictionary.current().variable("independent_intubation_count");

    private CountForm() {}

    /**
     * What was read: month and count, or what is wrong.
     *
     * @param unlikely the count is to be confirmed first
     */
    record Read(@Nullable YearMonth month, int counted, List<Told> told, boolean unlikely) {}

    static Read read(String monthText, String countText, boolean confirmed, YearMonth now) {
        List<Told> told = new ArrayList<>();
        YearMonth month = LogForm.month(monthText, "month", now, told);
        BigDecimal counted =
                countText.strip().matches("\\d{1,6}") ? new BigDecimal(countText.strip()) : BigDecimal.ONE.negate();
        boolean unlikely = false;
        if (!MEANING.hard().contains(counted)) {
            told.add(
                    new Told("counted", "Type a whole number, " + MEANING.hard().words() + "."));
        } else if (!MEANING.soft().contains(counted) && !confirmed) {
            told.add(new Told(
                    "counted",
                    "Is it right? Usual is " + MEANING.soft().words()
                            + " a month. If so, tick \u201cIt is right\u201d."));
            unlikely = true;
        }
        return new Read(month, counted.intValue(), told, unlikely || confirmed);
    }
}
