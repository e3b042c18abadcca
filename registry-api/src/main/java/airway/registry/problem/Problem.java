package airway.registry.problem;

import java.util.List;

/** Why a request was not carried out. Each kind has a stable slug, which names its page below /problems/. */
public abstract sealed class Problem extends RuntimeException {
    private final String slug;
    private final String title;
    private final transient List<Fault> faults;

    private Problem(String slug, String title, String detail, List<Fault> faults) {
        super(detail);
        this.slug = slug;
        this.title = title;
        this.faults = List.copyOf(faults);
    }

    public String slug() {
        return slug;
    }

    public String title() {
        return title;
    }

    public String detail() {
        return String.valueOf(getMessage());
    }

    public List<Fault> faults() {
        return faults;
    }

    /** The request cannot be read as what it should be: broken JSON, a field that does not exist, a bad parameter. */
    public static sealed class Malformed extends Problem {
        public Malformed(String detail, List<Fault> faults) {
            this("malformed", "The request cannot be read", detail, faults);
        }

        private Malformed(String slug, String title, String detail, List<Fault> faults) {
            super(slug, title, detail, faults);
        }

        public Malformed(Fault fault) {
            this(fault.mend(), List.of(fault));
        }
    }

    /** What should name a quarter names none. */
    public static final class NoQuarter extends Malformed {
        public NoQuarter() {
            super(
                    "no-quarter",
                    "There is no such quarter",
                    "A quarter is a year from 1950 to 2149 and one of four quarters, as 2026-Q3.",
                    List.of(Fault.parameter(
                            "quarter", "quarter.form", "Name a quarter as 2026-Q3: Q1, Q2, Q3 or Q4.")));
        }
    }

    /** The request was understood, but values in it are wrong or need a confirmation. All are told at once. */
    public static sealed class Invalid extends Problem {
        public Invalid(List<Fault> faults) {
            this(
                    "invalid",
                    "Some answers need another look",
                    faults.size() == 1
                            ? "One answer needs another look."
                            : faults.size() + " answers need another look.",
                    faults);
        }

        public Invalid(Fault fault) {
            this(List.of(fault));
        }

        private Invalid(String slug, String title, String detail, List<Fault> faults) {
            super(slug, title, detail, faults);
        }
    }

    /** A quarter that has not begun has no report. */
    public static final class QuarterAhead extends Invalid {
        /**
         * @param present the quarter that runs now
         */
        public QuarterAhead(String present) {
            super(
                    "quarter-ahead",
                    "This quarter has not begun",
                    "There is nothing to report of a quarter that has not begun.",
                    List.of(Fault.parameter(
                            "quarter", "quarter.ahead", "Name a quarter up to the present one, " + present + ".")));
        }
    }

    /** There is too little to tell without telling about single children. */
    public static final class TooSmall extends Problem {
        public TooSmall(String detail) {
            super("too-small", "Too few to be told", detail, List.of());
        }
    }

    /** Together with what was told before it would give away a small number. */
    public static final class GivesAway extends Problem {
        public GivesAway(String detail) {
            super("gives-away", "It would give a small number away", detail, List.of());
        }
    }

    /** What was asked for is in no package of research data, whoever asks. */
    public static final class NeverLeaves extends Problem {
        public NeverLeaves() {
            super(
                    "never-leaves",
                    "This never leaves the unit",
                    "Direct identifiers, keys of the register and written text are in no package. Leave them out.",
                    List.of(Fault.parameter("variables", "never_leaves", "Name variables that are offered.")));
        }
    }

    /** A request for research data without an approval to stand on. */
    public static final class ApprovalMissing extends Problem {
        public ApprovalMissing(List<Fault> faults) {
            super(
                    "approval-missing",
                    "The approval is missing",
                    "Data for research leave only under an approval. Write its number, and until when it holds.",
                    faults);
        }
    }

    /** The approval that a request for research data stands on is over. */
    public static final class ApprovalExpired extends Problem {
        public ApprovalExpired() {
            super(
                    "approval-expired",
                    "The approval is over",
                    "The approval that this stands on is over. Ask anew under one that holds.",
                    List.of(Fault.at(
                            "/approval_expires", "approval.expired", "Name an approval that holds today or longer.")));
        }
    }

    /** Nobody says yes or no to a request of their own. */
    public static final class OwnRequest extends Problem {
        public OwnRequest() {
            super(
                    "own-request",
                    "This is a request of your own",
                    "Somebody else who guards the data has to say yes or no to it.",
                    List.of());
        }
    }

    /** However coarse the data, a child could be recognised in them. */
    public static final class Recognisable extends Problem {
        public Recognisable() {
            super(
                    "recognisable",
                    "A child could be recognised",
                    "No package can be made of this: however coarse the answers, some child would stand out, or more than one"
                            + " row in twenty would be left out. Choose a longer period, fewer answers or fewer filters.",
                    List.of(Fault.parameter(
                            "variables", "recognisable", "Choose fewer answers by which somebody could be known.")));
        }
    }

    /** Beside a package that has left before, a child could be recognised. */
    public static final class TooClose extends Problem {
        public TooClose() {
            super(
                    "too-close",
                    "This is too close to an earlier package",
                    "By itself it would hide every child. Beside what has left before, too few children would stand in some of"
                            + " the packages and not in the others, or answers told apart would tell too much together. Choose"
                            + " another period, or answers of which what has left tells as much.",
                    List.of(Fault.parameter("variables", "too_close", "Choose other answers, or another period.")));
        }
    }

    /** A group would lose more than a tenth of its rows, and the guardian has not said yes to that. */
    public static final class LossNotAccepted extends Problem {
        /**
         * @param percent of the group that loses most
         */
        public LossNotAccepted(int percent) {
            super(
                    "loss-not-accepted",
                    "A group would lose more than a tenth",
                    "To hide children, " + percent
                            + "% of a group would be left out, and a question about it would no longer be"
                            + " answered soundly. Refuse, or accept this figure.",
                    List.of(Fault.at("/accept_loss", "loss." + percent, "Send " + percent + " to accept it.")));
        }
    }

    /** A download link that was used, is over, or was never made for the one who asks. */
    public static final class LinkSpent extends Problem {
        public LinkSpent() {
            super(
                    "link-spent",
                    "This link does not serve",
                    "A link serves once, for an hour, for the one who made it. Open the request and make a new one.",
                    List.of());
        }
    }

    /** A package could not be written as a whole. */
    public static final class NotWritten extends Problem {
        public NotWritten(Throwable cause) {
            super(
                    "not-written",
                    "The package could not be written",
                    "Nothing of it was kept. The disk may be full; try again, or tell whoever runs the register.",
                    List.of());
            initCause(cause);
        }
    }

    /** It is not there, or it belongs to a unit that is not yours. */
    public static final class Missing extends Problem {
        public Missing(String what) {
            this(what, List.of());
        }

        /**
         * @param named what named it, and the mend
         */
        public Missing(String what, List<Fault> named) {
            super("missing", "Not found", "There is no such " + what + ", or it belongs to another unit.", named);
        }
    }

    /** It cannot be done in the state that things are in. */
    public static sealed class Conflict extends Problem {
        public Conflict(String detail, List<Fault> faults) {
            this("conflict", "Something else stands in the way", detail, faults);
        }

        private Conflict(String slug, String title, String detail, List<Fault> faults) {
            super(slug, title, detail, faults);
        }
    }

    /** A quarter that still runs cannot be closed. */
    public static final class QuarterRunning extends Conflict {
        /**
         * @param ends its last day
         */
        public QuarterRunning(String ends) {
            super(
                    "quarter-running",
                    "The quarter is not over",
                    "A report is made final once its quarter is over; this one ends on " + ends
                            + ". Nothing was stored.",
                    List.of(Fault.parameter(
                            "quarter",
                            "quarter.running",
                            "Wait until after " + ends + ", or name an earlier quarter.")));
        }
    }

    /** A report that was made final stays as it is. */
    public static final class ReportFinal extends Conflict {
        public ReportFinal() {
            super(
                    "report-final",
                    "The report is final",
                    "This report was made final before: its numbers and texts stay as they are. Nothing was stored.",
                    List.of(
                            Fault.parameter(
                                    "quarter",
                                    "report.final",
                                    "Read the final report; what is to be said since belongs into the report of a later quarter.")));
        }
    }

    /** Somebody moved the item since it was read: it is somewhere else by now. */
    public static final class ItemMoved extends Conflict {
        /**
         * @param state code of the state it is in now
         * @param words the same in words
         * @param version its last move
         */
        public ItemMoved(String state, String words, int version) {
            super(
                    "item-moved",
                    "Somebody else has moved it",
                    "Nothing was stored. The item is now: " + words + " (move " + version + ").",
                    List.of(Fault.at(
                            "/seen",
                            "state." + state,
                            "Look at where it is now, then send yours with seen " + version + ".")));
        }
    }

    /** The item cannot make this move from where it is. */
    public static final class NoSuchMove extends Conflict {
        /**
         * @param words the state it is in, in words
         * @param bar what bars the move, and the mend
         */
        public NoSuchMove(String words, Fault bar) {
            super(
                    "no-such-move",
                    "It cannot go there from here",
                    "Nothing was stored. The item is now: " + words + ". " + bar.mend(),
                    List.of(bar));
        }
    }

    /** A request for research data that has no yes, or not any more. */
    public static final class NotApproved extends Conflict {
        public NotApproved() {
            super(
                    "not-approved",
                    "There is no yes to this request",
                    "A package is made of a request that the data guardian has approved, and that was not withdrawn.",
                    List.of());
        }
    }

    /** A request that has ended. */
    public static final class RequestEnded extends Conflict {
        /**
         * @param how it stands, in words
         */
        public RequestEnded(String how) {
            super(
                    "request-ended",
                    "This request has ended",
                    "Nothing was stored. It stands as: " + how + ". Who still needs the data asks anew.",
                    List.of());
        }
    }

    /** The data are not any more what was looked at or approved. */
    public static final class DataChanged extends Conflict {
        public DataChanged() {
            super(
                    "data-changed",
                    "The records have changed since",
                    "Nothing was made. Records were put right, withdrawn or objected to since these data were looked at or"
                            + " approved. The data guardian has to look at them again and say yes to what they are now.",
                    List.of());
        }
    }

    /** A package of research data whose making was cancelled. */
    public static final class Cancelled extends Conflict {
        public Cancelled() {
            super(
                    "cancelled",
                    "The package was cancelled",
                    "Nothing of it was kept. The request stands as before, and the package can be made again.",
                    List.of());
        }
    }

    /** A package of research data that is being made already. */
    public static final class BeingMade extends Conflict {
        public BeingMade() {
            super("being-made", "This package is being made", "Wait until it is there, or cancel it.", List.of());
        }
    }

    /** Somebody wrote into the log of the trolley since it was read: it stands otherwise by now. */
    public static final class TrolleyChecked extends Conflict {
        /**
         * @param status code of how it stands now
         * @param words the same as a sentence without its end
         * @param line the last line of its log
         */
        public TrolleyChecked(String status, String words, int line) {
            super(
                    "trolley-checked",
                    "Somebody else has checked or opened it",
                    "Nothing was stored. As it stands now: " + words + " (line " + line + ").",
                    List.of(Fault.at(
                            "/seen",
                            "status." + status,
                            "Look at how it stands now; if yours is still needed, send it with seen " + line + ".")));
        }
    }

    /** The same thing is being done at this moment. */
    public static final class Busy extends Conflict {
        public Busy(String parameter) {
            super(
                    "The same is being kept or saved at this moment; send it again in a second.",
                    List.of(Fault.parameter(parameter, "busy", "Send it again in a second.")));
        }
    }

    /** Nobody is signed in, or not any more, or the token does not serve. */
    public static final class SignedOut extends Problem {
        public SignedOut() {
            super(
                    "signed-out",
                    "Please sign in",
                    "Nothing was stored. Sign in; a program sends its token in the header Authorization.",
                    List.of());
        }
    }

    /** The one who asks is known, and may not do this. */
    public static final class NotAllowed extends Problem {
        public NotAllowed(String detail) {
            super("not-allowed", "Not allowed here", detail, List.of());
        }
    }

    /** More in a short time than one may ask. */
    public static final class TooMany extends Problem {
        private final long seconds;

        /**
         * @param seconds after which it may be tried again
         */
        public TooMany(long seconds) {
            super(
                    "too-many",
                    "Too much at once",
                    "Nothing was stored. Wait " + seconds + (seconds == 1 ? " second" : " seconds")
                            + ", then try again.",
                    List.of());
            this.seconds = seconds;
        }

        public long seconds() {
            return seconds;
        }
    }

    /** Somebody else has changed it since it was read. */
    public static final class Stale extends Problem {
        private final String tag;

        /**
         * @param tag ETag of the version that counts now
         */
        public Stale(String tag) {
            super(
                    "stale",
                    "Somebody else has changed it",
                    "Nothing was stored. Read it again, look at what changed, and send yours once more.",
                    List.of());
            this.tag = tag;
        }

        public String tag() {
            return tag;
        }
    }

    /** A change without saying which version it was made to. */
    public static final class Unconditional extends Problem {
        public Unconditional() {
            super(
                    "unconditional",
                    "Say which version you changed",
                    "Send the header If-Match with the ETag of the record you read.",
                    List.of(Fault.parameter("If-Match", "header.missing", "Send the ETag you read, as \"v1\".")));
        }
    }

    /** The request is larger than this registry reads. */
    public static final class TooLarge extends Problem {
        public TooLarge(String detail) {
            super("too-large", "The request is too large", detail, List.of());
        }
    }

    /** The registry cannot keep or read records now; nothing was stored. */
    public static final class Unavailable extends Problem {
        public Unavailable(Throwable cause) {
            super(
                    "unavailable",
                    "The registry cannot reach its database",
                    "Nothing was stored. Send the same request again in a moment.",
                    List.of());
            initCause(cause);
        }
    }
}
