package airway.registry.imports;

/** Why an import cannot begin or go on, in one sentence, with the exit code that tells it to a script. */
public final class ImportRefused extends RuntimeException {
    private static final int USAGE = 2;
    private static final int UNREACHABLE = 3;
    private static final int POLICY = 4;

    private final int exitCode;

    private ImportRefused(String sentence, int exitCode) {
        super(sentence);
        this.exitCode = exitCode;
    }

    /** A file that cannot be used as it is. */
    static ImportRefused usage(String sentence) {
        return new ImportRefused(sentence, USAGE);
    }

    /** The database went away. */
    static ImportRefused unreachable(String sentence) {
        return new ImportRefused(sentence, UNREACHABLE);
    }

    /** It could be done, and is not allowed. */
    static ImportRefused policy(String sentence) {
        return new ImportRefused(sentence, POLICY);
    }

    public String sentence() {
        return String.valueOf(getMessage());
    }

    public int exitCode() {
        return exitCode;
    }
}
