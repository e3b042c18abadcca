package airway.registry.problem;

/**
 * One thing to mend.
 *
 * @param place what the path names: a JSON pointer into the body, or a request parameter or header
 * @param path where
 * @param code stable word for programs
 * @param mend what to do about it, or what is odd about it; never repeats what was typed
 * @param severity whether it is refused, or asked about once
 */
public record Fault(Place place, String path, String code, String mend, Severity severity) {
    /** What a path points into. */
    public enum Place {
        POINTER,
        PARAMETER
    }

    /** An error is refused; a confirm is an odd answer that may be sent again as confirmed. */
    public enum Severity {
        ERROR,
        CONFIRM
    }

    public static Fault at(String pointer, String code, String mend) {
        return new Fault(Place.POINTER, pointer, code, mend, Severity.ERROR);
    }

    public static Fault confirm(String pointer, String code, String mend) {
        return new Fault(Place.POINTER, pointer, code, mend, Severity.CONFIRM);
    }

    public static Fault parameter(String name, String code, String mend) {
        return new Fault(Place.PARAMETER, name, code, mend, Severity.ERROR);
    }
}
