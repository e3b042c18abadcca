package airway.registry.encounter;

import airway.registry.web.CsvField;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** The list as CSV (RFC 4180): codes and numbers as they are, titles in quotes, an empty field is "none". */
final class RecordListCsv {
    private static final DateTimeFormatter START = DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm", Locale.ROOT);
    private static final List<String> COLUMNS = List.of(
            "encounter_id",
            "version",
            "status",
            "encounter_start",
            "encounter_start_precision",
            "age_band",
            "encounter_kind",
            "location",
            "urgency",
            "tracheal_attempts",
            "fps",
            "fps_strict",
            "fps_clean",
            "spo2_lowest",
            "device_setup_id",
            "device_setup",
            "open_questions",
            "confirmed_unlikely",
            "confirmed_other");

    private final Appendable out;
    private final ZoneId zone;

    RecordListCsv(Appendable out, ZoneId zone) {
        this.out = out;
        this.zone = zone;
        row(COLUMNS);
    }

    void add(RecordLine line) {
        RecordLine.Worked derived = line.derived();
        String start = START.format(line.start().atZone(zone));
        row(List.of(
                line.id().toString(),
                String.valueOf(line.version()),
                line.status(),
                start,
                or(line.answers().text("encounter_start_precision")),
                derived == null ? "" : derived.ageBand(),
                or(line.answers().text("encounter_kind")),
                or(line.answers().text("location")),
                or(line.answers().text("urgency")),
                derived == null ? "" : or(derived.attempts()),
                derived == null ? "" : verdict(derived.fps()),
                derived == null ? "" : verdict(derived.fpsStrict()),
                derived == null ? "" : verdict(derived.fpsClean()),
                derived == null ? "" : or(derived.lowest()),
                or(line.setup()),
                line.setupTitle() == null ? "" : CsvField.quoted(line.setupTitle()),
                derived == null ? "" : String.valueOf(line.open()),
                derived == null ? "" : String.valueOf(line.unlikely()),
                String.valueOf(line.confirmed())));
    }

    private void row(List<String> fields) {
        try {
            out.append(String.join(",", fields)).append("\r\n");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static String verdict(Derived.Verdict verdict) {
        return verdict.name().toLowerCase(Locale.ROOT);
    }

    private static String or(@Nullable Object value) {
        return value == null ? "" : value.toString();
    }
}
