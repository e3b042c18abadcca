package airway.registry.kit;

import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;

/** What a look-back says in sentences, the same on the page, on paper and in the file. */
final class LookBackWords {
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);

    private LookBackWords() {}

    /** What was asked. */
    static String asked(LookBack look) {
        LookBack.Asked asked = look.asked();
        StringBuilder out = new StringBuilder(asked.by().words());
        if (asked.by() != LookBack.By.PATIENT && asked.value() != null) {
            out.append(": ").append(asked.value());
        }
        if (asked.from() != null) {
            out.append("; uses from ").append(at(look, asked.from()));
        }
        if (asked.to() != null) {
            out.append("; uses before ").append(at(look, asked.to()));
        }
        if (asked.cycles() != null) {
            out.append("; with fewer than ").append(asked.cycles()).append(" passing cycles in between");
        }
        return out.append('.').toString();
    }

    /** What can be known, and what cannot; printed with every answer. */
    static List<String> coverage(LookBack look) {
        LookBack.Coverage known = look.coverage();
        String what = look.asked().by() == LookBack.By.LOT ? "a lot" : "an item";
        List<String> out = new ArrayList<>();
        if (known.from() == null) {
            out.add("No use was found. That is no proof that there was none: what nobody entered cannot be found.");
        } else {
            out.add("From " + at(look, known.from()) + " to " + at(look, known.to()) + " " + what + " is named in "
                    + known.named() + " of " + known.records() + " records; for the other "
                    + (known.records() - known.named()) + " it is not known which was used.");
            if (known.withoutRecord() > 0) {
                out.add(times(known.withoutRecord(), "use", "uses") + " of items in this time name no record.");
            }
            if (known.still() > 0) {
                out.add(times(known.still(), "item", "items") + " of the unit moved not once in this time.");
            }
        }
        if (known.late() > 0) {
            out.add(times(known.late(), "move", "moves") + " of these items were entered late: what came first is"
                    + " not certain there, and rather shown than left out.");
        }
        if (known.withoutCycle() > 0) {
            out.add(times(known.withoutCycle(), "return", "returns") + " of these items name no cycle.");
        }
        out.add(
                look.asked().by() == LookBack.By.LOT
                        ? "What was opened, thrown away or found missing without a record stands in the log of the lot."
                        : "Single-use items are not among these moves: they are known by lot, where a record names one. Ask for"
                                + " the lot.");
        return out;
    }

    private static String times(int number, String one, String many) {
        return number + " " + (number == 1 ? one : many);
    }

    private static String at(LookBack look, Instant moment) {
        return AT.format(Objects.requireNonNull(moment).atZone(look.site().zone()));
    }
}
