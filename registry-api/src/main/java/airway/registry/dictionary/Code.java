package airway.registry.dictionary;

/** One allowed answer of a coded variable: its stored value and the words on screens. */
public record Code(String value, String label) {}
