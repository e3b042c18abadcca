package airway.registry.reports;

/**
 * What happened to the records of a final report since.
 *
 * @param quarter to those of the quarter
 * @param earlier to those of the two years before its end, the quarter apart
 */
record Corrections(Since quarter, Since earlier) {
    static final Corrections NONE = new Corrections(Since.NOTHING, Since.NOTHING);

    /** How many records. */
    record Since(long amended, long added, long withdrawn) {
        static final Since NOTHING = new Since(0, 0, 0);

        private boolean any() {
            return amended + added + withdrawn > 0;
        }

        private String words(Readers readers) {
            return readers.number(amended) + " amended, " + readers.number(added) + " added, "
                    + readers.number(withdrawn) + " withdrawn";
        }
    }

    /** In a sentence. */
    String words(Readers readers) {
        if (!quarter.any() && !earlier.any()) {
            return "Since this report was made final, none of its records was amended, added or withdrawn.";
        }
        return "Since this report was made final, of the records of the quarter: " + quarter.words(readers)
                + "; of the earlier records it rests on: " + earlier.words(readers)
                + ". The numbers here stay as they were.";
    }
}
