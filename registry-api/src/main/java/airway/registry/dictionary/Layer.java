package airway.registry.dictionary;

/** When a variable is asked: needed to finalise, when there is more to tell, if one likes, or never by the program. */
public enum Layer {
    FIRST,
    DETAIL,
    OPTIONAL,
    SYSTEM
}
