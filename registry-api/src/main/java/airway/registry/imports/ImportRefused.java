package airway.registry.imports;

/** Why an import cannot begin or go on, in one sentence. */
public final class ImportRefused extends RuntimeException {
    /** The kinds of reasons, each with the exit code that tells it to a script. */
    enum Why {
        /** A file that cannot be used as it is. */
        UNUSABLE(2),
        /** A file that is no table at all. */
        NO_TABLE(2),
        /** More than the page takes. */
        TOO_LARGE(2),
        /** The database went away. */
        UNREACHABLE(3),
        /** It could be done, and is not allowed. */
        POLICY(4);

        private final int exitCode;

        Why(int exitCode) {
            this.exitCode = exitCode;
        }
    }

    private final Why why;

    private ImportRefused(Why why, String sentence) {
        super(sentence);
        this.why = why;
    }

    static ImportRefused unusable(String sentence) {
        return new ImportRefused(Why.UNUSABLE, sentence);
    }

    static ImportRefused noTable(String sentence) {
        return new ImportRefused(Why.NO_TABLE, sentence);
    }

    static ImportRefused tooLarge(String sentence) {
        return new ImportRefused(Why.TOO_LARGE, sentence);
    }

    static ImportRefused unreachable(String sentence) {
        return new ImportRefused(Why.UNREACHABLE, sentence);
    }

    static ImportRefused policy(String sentence) {
        return new ImportRefused(Why.POLICY, sentence);
    }

    Why why() {
        return why;
    }

    public String sentence() {
        return String.valueOf(getMessage());
    }

    public int exitCode() {
        return why.exitCode;
    }
}
