package airway.registry.encounter;

import airway.registry.dictionary.Scheme;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/** What the registry worked out from a record, each with the reason in a plain sentence. */
/*
 * The verdicts come from the one definition in SQL; here only the words for them are chosen, from the same answers. A
 * verdict is never worked out a second time.
 */
final class WorkedOut {
    /**
     * One thing worked out.
     *
     * @param answer in a word or two
     * @param why the reason, as a sentence or two
     */
    record Fact(String title, String answer, String why) {}

    private static final int LOW = 80;
    private static final int VERY_LOW = 70;
    private static final int LOW_BASELINE = 90;
    private static final int LARGE_FALL = 20;

    private final Encounter encounter;
    private final Derived derived;
    private final @Nullable Answers first;

    private WorkedOut(Recorded recorded) {
        this.encounter = recorded.encounter();
        this.derived = recorded.derived();
        List<Answers> attempts = encounter.attempts();
        this.first = attempts.isEmpty() ? null : attempts.get(0);
    }

    static List<Fact> of(Recorded recorded) {
        WorkedOut out = new WorkedOut(recorded);
        List<Fact> facts = new ArrayList<>();
        facts.add(new Fact("First pass", word(out.derived.fps()), out.firstPass()));
        if (out.derived.outside() == null) {
            facts.add(new Fact("First pass, strict", word(out.derived.fpsStrict()), out.strict()));
            facts.add(new Fact("First pass without event or low oxygen", word(out.derived.fpsClean()), out.clean()));
        }
        if (out.first != null) {
            facts.add(out.fall());
            facts.add(out.place());
            facts.add(out.attempts());
        }
        if (!out.encounter.events().isEmpty()) {
            facts.add(out.severe());
        }
        return List.copyOf(facts);
    }

    private static String word(Derived.Verdict verdict) {
        return switch (verdict) {
            case YES -> "Yes";
            case NO -> "No";
            case EXCLUDED -> "Left out";
        };
    }

    private String firstPass() {
        Derived.Outside outside = derived.outside();
        if (outside != null) {
            return switch (outside) {
                case TUBE_CHANGE -> "A tube change is not counted among first passes.";
                case NO_ATTEMPT -> "No blade went in, so there was no attempt. The record is kept.";
                case NOT_TRACHEAL -> "Attempt 1 did not aim at a tracheal tube.";
            };
        }
        return switch (derived.fps()) {
            case YES -> "Attempt 1 aimed at a tracheal tube and succeeded: one blade insertion.";
            case NO ->
                "Attempt 1 did not end with a confirmed tube in the trachea."
                        + (encounter.attempts().size() > 1
                                ? " First pass belongs to the child, not to an operator: a later attempt does not change it."
                                : "");
            case EXCLUDED -> "How attempt 1 ended is not known; a guess is not made.";
        };
    }

    private String strict() {
        return switch (derived.fpsStrict()) {
            case YES -> "One blade insertion and one tube pass.";
            case NO ->
                derived.fps() == Derived.Verdict.YES
                        ? "One blade insertion, but the tube was advanced " + InWords.times(passes()) + "."
                        : "It was not a first pass.";
            case EXCLUDED ->
                derived.fps() == Derived.Verdict.YES
                        ? "It was a first pass, but how often the tube was advanced is not known."
                        : "How attempt 1 ended is not known.";
        };
    }

    private int passes() {
        return Objects.requireNonNullElse(Objects.requireNonNull(first).number("tube_passes"), 0);
    }

    private String clean() {
        if (derived.fps() != Derived.Verdict.YES) {
            return derived.fps() == Derived.Verdict.NO
                    ? "It was not a first pass."
                    : "How attempt 1 ended is not known.";
        }
        return switch (derived.fpsClean()) {
            case YES -> "First pass; " + noEvents() + "; " + notLow() + ".";
            case NO -> InWords.sentence(String.join("; ", spoilt()));
            case EXCLUDED -> InWords.sentence("First pass, but " + String.join(" and ", missing()));
        };
    }

    private String noEvents() {
        return encounter.answers().is("adverse_event_any", "no")
                ? "none of the events"
                : "a kit failure only, which is counted apart";
    }

    private String notLow() {
        Integer lowest = derived.spo2Lowest();
        Integer best = best();
        if (lowest == null) {
            return "no low oxygen";
        }
        return fallCounts() && best != null
                ? "SpO₂ fell by " + points(best - lowest) + ", under " + LARGE_FALL
                : "lowest SpO₂ " + lowest + "%, not under " + LOW + "%";
    }

    /** Where the baseline is low by anatomy or illness, the fall is read, not a fixed limit. */
    private boolean fallCounts() {
        Integer best = best();
        return encounter.answers().is("cyanotic_heart_disease", "yes") || (best != null && best < LOW_BASELINE);
    }

    private List<String> spoilt() {
        List<String> spoilt = new ArrayList<>();
        if (encounter.answers().is("adverse_event_any", "yes")
                || !encounter.events().isEmpty()) {
            List<String> events = encounter.events().stream()
                    .filter(event -> !event.is("event_type", "kit_failure"))
                    .map(event -> InWords.lower(String.valueOf(event.words("event_type"))))
                    .distinct()
                    .toList();
            if (!events.isEmpty()) {
                spoilt.add("first pass, but with: " + String.join(", ", events));
            } else if (encounter.events().isEmpty()) {
                spoilt.add("first pass, but an event was reported");
            }
        }
        Integer lowest = knownLowest();
        Integer best = best();
        if (lowest != null) {
            if (fallCounts() && best != null && best - lowest >= LARGE_FALL) {
                spoilt.add("SpO₂ fell by " + points(best - lowest) + ", which is " + LARGE_FALL + " or more");
            } else if (!fallCounts() && lowest < LOW) {
                spoilt.add("lowest SpO₂ " + lowest + "%, under " + LOW + "%");
            } else if (encounter.answers().is("cyanotic_heart_disease", "no") && lowest < VERY_LOW) {
                spoilt.add("lowest SpO₂ " + lowest + "%, under " + VERY_LOW + "%");
            }
        }
        return spoilt;
    }

    private List<String> missing() {
        List<String> missing = new ArrayList<>();
        if (!encounter.answers().is("adverse_event_any", "no")
                && !encounter.answers().is("adverse_event_any", "yes")) {
            missing.add("whether one of the events happened is not known");
        }
        if (derived.spo2Lowest() == null) {
            missing.add("the lowest SpO₂ is not known");
        } else if (best() == null) {
            missing.add("the best SpO₂ before is not known");
        }
        if (missing.isEmpty()) {
            missing.add("whether there is cyanotic heart disease is not known");
        }
        return missing;
    }

    private @Nullable Integer best() {
        return encounter.courses().get(0).answers().number("spo2_best_before");
    }

    /** The lowest reading there is, complete or not. */
    private @Nullable Integer knownLowest() {
        Integer lowest = encounter.answers().number("spo2_lowest_overall");
        for (Answers attempt : encounter.attempts()) {
            Integer reading = attempt.number("spo2_lowest");
            lowest = reading == null ? lowest : lowest == null ? reading : Integer.valueOf(Math.min(lowest, reading));
        }
        return lowest;
    }

    private Fact fall() {
        Integer best = best();
        Integer lowest = derived.spo2Lowest();
        if (best == null || lowest == null) {
            String gap = best == null ? "the best SpO₂ before" : "the lowest SpO₂ of every attempt";
            return new Fact("Fall in SpO₂", "Not known", "It needs " + gap + ".");
        }
        int fall = best - lowest;
        String window = " Read from device in until two minutes after the attempt.";
        return fall <= 0
                ? new Fact("Fall in SpO₂", "None, " + best + "% to " + lowest + "%", "No fall." + window)
                : new Fact(
                        "Fall in SpO₂",
                        points(fall) + ", " + best + "% to " + lowest + "%",
                        (fall < LARGE_FALL ? "Under " + LARGE_FALL + " points." : LARGE_FALL + " points or more.")
                                + window);
    }

    private static String points(int number) {
        return number + (number == 1 ? " point" : " points");
    }

    private Fact place() {
        String title = "Place of the tube";
        List<Answers> attempts = encounter.attempts();
        int last = attempts.size();
        Answers attempt = attempts.get(last - 1);
        boolean tracheal =
                CrossChecks.TRACHEAL.contains(encounter.approachOf(last).orElse(""));
        String airway = encounter.answers().words("final_airway");
        String end = airway == null ? "" : " Airway at the end: " + InWords.lower(airway) + ".";
        if (!attempt.is("attempt_success", "yes")) {
            return attempt.is("attempt_success", "no")
                    ? new Fact(title, "No confirmed tube", "The last attempt did not end with one." + end)
                    : new Fact(title, "Not known", "How the last attempt ended is not known." + end);
        }
        if (!tracheal) {
            return new Fact(title, "No tube in the trachea", "Another airway was placed and confirmed." + end);
        }
        if (attempt.is("sustained_co2", "yes")) {
            Integer passes = attempt.number("tube_passes");
            return new Fact(
                    title,
                    "Trachea, confirmed",
                    (passes == null ? "You" : "The tube was advanced " + InWords.times(passes) + ", and you")
                            + " said all four CO₂ criteria held.");
        }
        String others = attempt.words("confirmation");
        boolean told = others != null && !attempt.list("confirmation").contains("none") && !others.equals("Not known");
        return new Fact(
                title,
                "Trachea, as you said",
                (attempt.is("sustained_co2", "no")
                                ? "Sustained exhaled CO₂ was not seen, so CO₂ does not confirm it."
                                : "Whether sustained exhaled CO₂ was seen is not known.")
                        + (told ? " You named: " + InWords.lower(String.valueOf(others)) + "." : ""));
    }

    private Fact severe() {
        String by = "By " + Scheme.DEFAULT.words() + ", which looks at the type of each event.";
        return switch (derived.severe()) {
            case YES -> new Fact("Severe event", "Yes", by);
            case NO -> new Fact("Severe event", "No", by);
            case EXCLUDED ->
                encounter.answers().is("encounter_kind", "tube_change")
                        ? new Fact("Severe event", "Left out", "Events of tube changes are counted apart.")
                        : new Fact("Severe event", "Not known", by + " Another event has no type that it could judge.");
        };
    }

    private Fact attempts() {
        Integer counted = derived.trachealAttempts();
        int all = encounter.attempts().size();
        String title = "Attempts at a tracheal tube";
        if (counted == null) {
            return new Fact(title, "Not known", "How an attempt ended is not known, so the count could be wrong.");
        }
        String why = counted == all
                ? "Every blade insertion counts, whatever it was for."
                : "Counted up to the first confirmed tube; " + all + " in all are in the record.";
        return new Fact(title, counted.toString(), why);
    }
}
