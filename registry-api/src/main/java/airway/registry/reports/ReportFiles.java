package airway.registry.reports;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** The report of a quarter as a file. */
@Component
public class ReportFiles {
    private final Reports reports;
    private final Print print;

    ReportFiles(Reports reports, Print print) {
        this.reports = reports;
        this.print = print;
    }

    /** A file, and what is to be known of it. */
    public static final class File {
        private final byte[] bytes;
        private final List<String> words;

        private File(byte[] bytes, List<String> words) {
            this.bytes = bytes;
            this.words = words;
        }

        public void writeTo(OutputStream out) throws IOException {
            out.write(bytes);
            out.flush();
        }

        /** Sentences about it, nothing of its numbers. */
        public List<String> words() {
            return words;
        }
    }

    /**
     * Makes the file.
     *
     * @param unit code of the unit; null for the home unit
     * @param quarter as 2026-Q3
     * @param format html, pdf or json
     * @param readers unit or board
     * @throws Problem.NoQuarter if the quarter is none
     * @throws Problem.QuarterAhead if it has not begun
     * @throws Problem.Missing if there is no such unit
     * @throws Problem.Malformed if there is no such format, or there are no such readers
     */
    public File of(@Nullable String unit, String quarter, String format, String readers) {
        Readers known = ReportForm.readers(readers);
        if (!List.of("html", "pdf", "json").contains(format)) {
            throw new Problem.Malformed(Fault.parameter("format", "format", "Name html, pdf or json."));
        }
        Report report = reports.read(unit, Quarter.parse(quarter));
        List<String> words = new ArrayList<>(List.of(report.paper(known).standing()));
        String notice = report.paper(known).notice();
        if (notice != null) {
            words.add(notice);
        }
        if (report.isFinal()) {
            words.add(report.corrections().words(known));
        }
        return new File(
                switch (format) {
                    case "pdf" -> print.pdf(report, known);
                    case "html" -> print.html(report, known).getBytes(StandardCharsets.UTF_8);
                    default -> ReportJson.of(report, known).toString().getBytes(StandardCharsets.UTF_8);
                },
                words);
    }
}
