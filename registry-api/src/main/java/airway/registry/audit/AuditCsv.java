package airway.registry.audit;

import airway.registry.web.CsvField;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** The audit as CSV (RFC 4180): codes and numbers as they are, names in quotes; what was typed as a reason stays here. */
final class AuditCsv {
    private static final List<String> COLUMNS = List.of(
            "entry_id",
            "seq",
            "at",
            "actor_id",
            "actor",
            "action",
            "object",
            "object_id",
            "version",
            "site_id",
            "about_id",
            "about",
            "reason_code",
            "detail");

    private final Appendable out;

    AuditCsv(Appendable out) {
        this.out = out;
        row(COLUMNS);
    }

    void add(AuditLine line) {
        AuditLine.Who about = line.about();
        row(List.of(
                String.valueOf(line.id()),
                or(line.seq()),
                line.at().toString(),
                String.valueOf(line.actor().no()),
                CsvField.quoted(line.actor().title()),
                line.action(),
                line.object(),
                or(line.objectId()),
                or(line.version()),
                or(line.site()),
                about == null ? "" : String.valueOf(about.no()),
                about == null ? "" : CsvField.quoted(about.title()),
                or(line.reasonCode()),
                line.detail() == null ? "" : CsvField.quoted(line.detail())));
    }

    private void row(List<String> fields) {
        try {
            out.append(String.join(",", fields)).append("\r\n");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static String or(@Nullable Object value) {
        return value == null ? "" : value.toString();
    }
}
