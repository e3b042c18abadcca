package airway.registry.quality;

/**
 * What is wrong with something typed.
 *
 * @param field of the page
 * @param mend what to do about it
 */
record Told(String field, String mend) {}
