package airway.registry.research;

import airway.registry.cohort.Stratum;

/** The group of intubations that a purpose is about, as {@code limited_mouth_opening:yes}. */
record Group(Stratum variable, String code) {
    String words() {
        return variable.title() + ": " + variable.label(code);
    }

    @Override
    public String toString() {
        return variable.variable() + ":" + code;
    }
}
