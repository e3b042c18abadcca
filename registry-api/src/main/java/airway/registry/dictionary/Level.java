package airway.registry.dictionary;

/** The object of a record that a variable belongs to. */
public enum Level {
    SITE,
    PATIENT,
    ENCOUNTER,
    COURSE,
    DRUG,
    ATTEMPT,
    EVENT,
    DEVICE_SETUP,
    KIT_ITEM
}
