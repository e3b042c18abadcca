package airway.registry.kit;

import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.TreeMap;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;

/**
 * All application identifiers of the GS1 General Specifications: one that is not used here must still be passed over
 * correctly.
 *
 * <p>Source: the facts of the GS1 Barcode Syntax Dictionary (2025; Apache License 2.0), in a table of our own; 717 by the
 * General Specifications, from memory. What the dictionary says of countries, currencies, places and the like is not checked.
 */
final class Identifiers {
    private static final int SHORTEST = 2;
    private static final int LONGEST = 4;
    private static final Map<String, Identifier> ALL = read();

    private Identifiers() {}

    /** The identifier with these digits. */
    static Optional<Identifier> named(String digits) {
        return Optional.ofNullable(ALL.get(digits));
    }

    /** The digits of the identifier that stands at a place of a symbol; none begins like another. */
    static Optional<String> at(String symbol, int place) {
        for (int length = SHORTEST; length <= LONGEST && place + length <= symbol.length(); length++) {
            String digits = symbol.substring(place, place + length);
            if (ALL.containsKey(digits)) {
                return Optional.of(digits);
            }
        }
        return Optional.empty();
    }

    private static Map<String, Identifier> read() {
        Map<String, Identifier> all = new TreeMap<>();
        CSVFormat table = CSVFormat.RFC4180
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .get();
        try (InputStream in = Objects.requireNonNull(Identifiers.class.getResourceAsStream("/kit/identifiers.csv"))) {
            for (CSVRecord row : table.parse(new InputStreamReader(in, StandardCharsets.UTF_8))) {
                Identifier identifier = Identifier.of(
                        row.get("first"),
                        row.get("last"),
                        row.get("ends"),
                        row.get("parts"),
                        row.get("needs"),
                        row.get("excludes"));
                int length = identifier.first().length();
                for (int no = Integer.parseInt(identifier.first()); no <= Integer.parseInt(identifier.last()); no++) {
                    all.put(String.format("%0" + length + "d", no), identifier);
                }
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return all;
    }
}
