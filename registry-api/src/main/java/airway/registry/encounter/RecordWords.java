package airway.registry.encounter;

import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A record of the list in words.
 *
 * @param when its start, as precisely as it is known
 * @param lowest saturation with its sign, or empty
 * @param notes what asks for another look, and what happened to the record
 */
public record RecordWords(
        UUID id,
        String when,
        String age,
        String attempts,
        String firstPass,
        String setup,
        String lowest,
        String place,
        List<String> notes) {
    private static final DateTimeFormatter MINUTE = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    static RecordWords of(RecordLine line, ZoneId zone) {
        RecordLine.Worked derived = line.derived();
        String age = InWords.age(line.answers());
        String place = line.answers().words("location");
        return new RecordWords(
                line.id(),
                when(line.start().atZone(zone), line.answers().text("encounter_start_precision")),
                age == null ? "" : age,
                derived == null ? "" : attempts(derived.attempts()),
                derived == null ? "" : firstPass(derived.fps()),
                line.setupTitle() == null ? "" : line.setupTitle(),
                derived == null || derived.lowest() == null ? "" : derived.lowest() + "%",
                place == null || place.equals("Not known") ? "" : place,
                notes(line));
    }

    /** One sentence after the date: "7 months, PICU. 2 attempts, no first pass. Metal blade. Lowest SpO₂ 71%." */
    public String sentence() {
        List<String> sentences = new ArrayList<>();
        add(sentences, age, place);
        add(sentences, attempts, firstPass);
        add(sentences, setup);
        add(sentences, lowest.isEmpty() ? "" : "lowest SpO₂ " + lowest);
        return String.join(" ", sentences);
    }

    private static void add(List<String> sentences, String... parts) {
        String joined = String.join(
                ", ", List.of(parts).stream().filter(part -> !part.isEmpty()).toList());
        if (!joined.isEmpty()) {
            sentences.add(InWords.sentence(joined));
        }
    }

    private static String when(ZonedDateTime start, @Nullable String precision) {
        return switch (precision == null ? "minute" : precision) {
            case "day" -> DAY.format(start);
            case "month" -> MONTH.format(start);
            case "nominal" -> DAY.format(start) + " (made up for order)";
            default -> MINUTE.format(start);
        };
    }

    private static String attempts(@Nullable Integer attempts) {
        if (attempts == null) {
            return "attempts not known";
        }
        return attempts == 0 ? "no attempt" : attempts == 1 ? "1 attempt" : attempts + " attempts";
    }

    private static String firstPass(Derived.Verdict verdict) {
        return switch (verdict) {
            case YES -> "first pass";
            case NO -> "no first pass";
            case EXCLUDED -> "left out of first pass";
        };
    }

    private static List<String> notes(RecordLine line) {
        List<String> notes = new ArrayList<>();
        if (line.open() > 0) {
            notes.add(line.open() == 1 ? "1 question open" : line.open() + " questions open");
        }
        if (line.unlikely() > 0) {
            notes.add(
                    line.unlikely() == 1
                            ? "1 unlikely value, confirmed"
                            : line.unlikely() + " unlikely values, confirmed");
        }
        if (line.confirmed() > 0) {
            notes.add(
                    line.confirmed() == 1
                            ? "1 answer asked about and confirmed"
                            : line.confirmed() + " answers asked about and confirmed");
        }
        if (line.reason() != null) {
            notes.add((line.status().equals("amended") ? "put right: " : "withdrawn: ") + InWords.lower(line.reason()));
        }
        return notes;
    }
}
