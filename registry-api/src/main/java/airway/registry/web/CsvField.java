package airway.registry.web;

/** A text as a field of CSV (RFC 4180). */
public final class CsvField {
    private CsvField() {}

    /** In quotes, and never the beginning of a formula for a spreadsheet: such a text is led by an apostrophe. */
    public static String quoted(String text) {
        String safe = text.matches("(?s)^[=+\\-@\\t\\r].*") ? "'" + text : text;
        return '"' + safe.replace("\"", "\"\"") + '"';
    }
}
