package airway.registry.access;

/** Something that can be done here. A role is a set of these; a page or an answer of the API needs one of them. */
public enum Right {
    /** Write down an intubation, and go on with a draft of the unit. */
    RECORD("record an intubation"),
    /** Read records of the unit one by one. */
    READ_RECORDS("read records"),
    /** Put right or withdraw a record that one has written down oneself. */
    AMEND_OWN("put right own records"),
    /** Put right or withdraw any record of the unit. */
    AMEND_ANY("put right any record"),
    /** Look at charts, comparisons and reports of the unit. */
    READ_CHARTS("look at charts, comparisons and reports"),
    /** Look at data quality, note changes, review cases, write the aim, keep averages, write reports and make them final. */
    IMPROVE("data quality, changes, case reviews, the aim, writing reports"),
    /** Tell counts of the unit to others, with small numbers hidden. */
    TELL_COUNTS("tell counts to others, small numbers hidden"),
    /** See what research data of the unit would be like, in rounded counts, ask for them, and fetch what was approved. */
    ASK_RESEARCH("see what research data would be like, ask for them"),
    /** Say yes or no to what others ask for. */
    JUDGE_RESEARCH("approve or refuse requests for research data"),
    /** Take old records from a table. */
    IMPORT("take old records from a table"),
    /** See which device set-ups a unit has. */
    READ_SETUPS("see the list of set-ups", true),
    /** Add to the device set-ups of a unit. */
    KEEP_SETUPS("keep the list of set-ups", true),
    /** See where each item of the kit is, and say that one was opened or used. */
    USE_KIT("see where each item is, say that one was opened or used"),
    /** Set an item apart. */
    HOLD_KIT("hold an item"),
    /** Enter kinds and items, and move items on their round. */
    KEEP_KIT("keep the kit: kinds, items and their round"),
    /** See which records an item touched, and where their items were next; never which child. */
    LOOK_BACK("look back which records an item touched, without names"),
    /** See which child a record of a look-back is about. */
    SEE_TOUCHED("look back which children an item touched"),
    /** Look at the hospital number of a record, with a reason, and find the records of one child. */
    SEE_IDENTITY("look at a hospital number, with a reason"),
    /** Erase a hospital number. */
    ERASE_IDENTITY("erase a hospital number"),
    /** Read who did what, and check that nobody changed it. */
    READ_AUDIT("read and check the audit"),
    /** Units, people, roles, tokens, keys; never records. */
    ADMINISTER("units, people, roles, tokens, keys");

    private final String words;
    private final boolean everywhere;

    Right(String words) {
        this(words, false);
    }

    Right(String words, boolean everywhere) {
        this.words = words;
        this.everywhere = everywhere;
    }

    /** What it is, as it reads after "may". */
    public String words() {
        return words;
    }

    /** Whether a role that stands beside the units may do it in all of them. */
    boolean everywhere() {
        return everywhere;
    }
}
