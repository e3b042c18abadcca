package airway.registry.access;

import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/**
 * The closed list of roles. A role is given to a person in one unit; the administrator and the auditor stand beside the
 * units and see no record.
 */
public enum Role {
    RECORDER(
            "Recorder",
            "writes down intubations, reads the records of the unit, puts right own ones",
            false,
            Right.RECORD,
            Right.READ_RECORDS,
            Right.AMEND_OWN,
            Right.READ_CHARTS,
            Right.READ_SETUPS,
            Right.USE_KIT,
            Right.SEE_IDENTITY),
    IMPROVEMENT_LEAD(
            "Improvement lead",
            "charts, data quality, changes and reviews of the unit; puts right any record; no hospital numbers",
            true,
            Right.READ_RECORDS,
            Right.AMEND_ANY,
            Right.READ_CHARTS,
            Right.IMPROVE,
            Right.TELL_COUNTS,
            Right.IMPORT,
            Right.READ_SETUPS,
            Right.KEEP_SETUPS,
            Right.USE_KIT,
            Right.HOLD_KIT,
            Right.ERASE_IDENTITY),
    RESEARCHER("Researcher", "asks for approved data; sees no record on the screen", true, Right.ASK_RESEARCH),
    DATA_GUARDIAN(
            "Data guardian",
            "approves or refuses what researchers ask for; sees no record",
            true,
            Right.JUDGE_RESEARCH),
    KIT_KEEPER(
            "Kit keeper",
            "the kit and the device set-ups; nothing clinical",
            false,
            Right.READ_SETUPS,
            Right.KEEP_SETUPS,
            Right.USE_KIT,
            Right.HOLD_KIT,
            Right.KEEP_KIT,
            Right.LOOK_BACK),
    LOOK_BACK_READER(
            "Look-back reader",
            "for three days: which children an item has touched",
            true,
            Right.LOOK_BACK,
            Right.SEE_TOUCHED),
    ADMINISTRATOR(
            "Administrator",
            "units, people, roles, tokens, keys and device set-ups; nothing clinical",
            true,
            Right.ADMINISTER,
            Right.READ_SETUPS,
            Right.KEEP_SETUPS),
    AUDITOR("Auditor", "reads and checks the audit; changes nothing", true, Right.READ_AUDIT);

    private static final Duration SHORT = Duration.ofMinutes(15);
    private static final Duration WARD = Duration.ofMinutes(30);

    private final String title;
    private final String words;
    private final boolean secondFactor;

    @SuppressWarnings("ImmutableEnumChecker") // A copy that nobody can change.
    private final Set<Right> rights;

    Role(String title, String words, boolean secondFactor, Right... rights) {
        this.title = title;
        this.words = words;
        this.secondFactor = secondFactor;
        this.rights = Set.of(rights);
    }

    /** The word for it in the database, the API and on the command line. */
    public String code() {
        return name().toLowerCase(Locale.ROOT);
    }

    public String title() {
        return title;
    }

    /** What the role is for, in half a sentence. */
    public String words() {
        return words;
    }

    public Set<Right> rights() {
        return rights;
    }

    public boolean may(Right right) {
        return rights.contains(right);
    }

    /** Whether it stands beside the units instead of in one. */
    public boolean besideUnits() {
        return this == ADMINISTRATOR || this == AUDITOR;
    }

    /** Whether who has it must sign in with a one-time code too, unless the settings say otherwise. */
    boolean secondFactor() {
        return secondFactor;
    }

    /** After how long without use a session of who has it ends: longer on the shared machines of a ward. */
    Duration idle() {
        return this == ADMINISTRATOR || this == RESEARCHER ? SHORT : WARD;
    }

    public static Optional<Role> of(String code) {
        return Arrays.stream(values()).filter(role -> role.code().equals(code)).findFirst();
    }

    /** The roles that may do one of these. */
    static List<String> with(Right... rights) {
        return Arrays.stream(values())
                .filter(role -> Arrays.stream(rights).anyMatch(role::may))
                .map(Role::code)
                .toList();
    }
}
