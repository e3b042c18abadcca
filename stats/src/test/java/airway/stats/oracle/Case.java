package airway.stats.oracle;

import java.io.IOException;
import java.io.Reader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** One reference case: a line of a CSV file with the header case_id, method, inputs, expected, tolerance, source. */
record Case(String id, String method, Inputs inputs, JsonNode expected, double tolerance) {

    private static final JsonMapper JSON = JsonMapper.shared();
    private static final CSVFormat CSV =
            CSVFormat.RFC4180.builder().setHeader().setSkipHeaderRecord(true).get();

    /** Every case of every CSV file in the folder, in order of file name and line. */
    static List<Case> readAll(Path folder) throws IOException {
        List<Path> files;
        try (Stream<Path> all = Files.list(folder)) {
            files = all.filter(file -> file.toString().endsWith(".csv"))
                    .sorted()
                    .toList();
        }
        List<Case> cases = new ArrayList<>();
        for (Path file : files) {
            try (Reader reader = Files.newBufferedReader(file);
                    CSVParser lines = CSV.parse(reader)) {
                for (CSVRecord line : lines) {
                    cases.add(of(line));
                }
            }
        }
        return cases;
    }

    private static Case of(CSVRecord line) {
        return new Case(
                line.get("case_id"),
                line.get("method"),
                new Inputs(JSON.readTree(line.get("inputs"))),
                JSON.readTree(line.get("expected")),
                Double.parseDouble(line.get("tolerance")));
    }
}
