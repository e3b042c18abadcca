package airway.registry.kit;

import airway.registry.web.CsvField;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;

/** Writes the uses of a look-back as CSV (RFC 4180), with its coverage below; hospital numbers never. */
final class LookBackCsv {
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

    private LookBackCsv() {}

    static String of(LookBack look) {
        ZoneId zone = look.site().zone();
        StringBuilder out = new StringBuilder();
        row(out, List.of("side", "item", "kind", "line", "at", "record", "attempt", "cycles_between", "uncertain"));
        for (LookBack.Use use : look.uses()) {
            row(
                    out,
                    List.of(
                            use.side().code(),
                            use.name(),
                            use.kind(),
                            String.valueOf(use.line()),
                            AT.format(use.at().atZone(zone)),
                            use.record() == null ? "" : use.record().toString(),
                            use.attempt() == null ? "" : String.valueOf(use.attempt()),
                            String.valueOf(use.cycles()),
                            use.uncertain() ? "yes" : "no"));
        }
        out.append("\r\n");
        LookBackWords.coverage(look).forEach(sentence -> row(out, List.of(sentence)));
        return out.toString();
    }

    private static void row(StringBuilder out, List<String> fields) {
        out.append(fields.stream().map(CsvField::quoted).collect(Collectors.joining(",")))
                .append("\r\n");
    }
}
