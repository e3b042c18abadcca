package airway.registry.research;

import airway.registry.dictionary.Code;
import airway.registry.dictionary.Dictionary;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * A variable of which an outsider could know the value, with levels from the finest that leaves to none. Every level nests in
 * the next. Source of the levels: our own rules of privacy, section 3, with the groups of ICH E11 and of the World Health
 * Organization from memory.
 */
enum KnownVariable {
    AGE_DAYS("fine bands", "four bands for children", "under and over 2 years", KnownVariable.LEFT_OUT) {
        @Override
        List<String> inOrder(int level) {
            return Bands.AGES.names(level);
        }

        @Override
        List<String> levels(Candidate one, Set<String> rare) {
            return Bands.AGES.of(one.ageDays() == null ? null : one.ageDays().doubleValue());
        }
    },
    ENCOUNTER_START("years", "steps of two years", KnownVariable.LEFT_OUT) {
        @Override
        List<String> levels(Candidate one, Set<String> rare) {
            int year = one.month().getYear();
            return List.of(String.valueOf(year), year / 2 * 2 + "-" + (year / 2 * 2 + 1), ANY);
        }
    },
    WEIGHT_KG("fine bands", "four bands", KnownVariable.LEFT_OUT) {
        @Override
        List<String> inOrder(int level) {
            return Bands.WEIGHTS.names(level);
        }

        @Override
        List<String> levels(Candidate one, Set<String> rare) {
            return Bands.WEIGHTS.of(one.weight() == null ? null : one.weight().doubleValue());
        }
    },
    INDICATION_MAIN("single reasons", "five groups of reasons", KnownVariable.LEFT_OUT) {
        @Override
        List<String> levels(Candidate one, Set<String> rare) {
            String reason = one.indication();
            String told = reason == null ? NOT_KNOWN : rare.contains(reason) ? OTHER : reason;
            return List.of(told, told.equals(NOT_KNOWN) ? told : REASONS.getOrDefault(told, OTHER), ANY);
        }

        @Override
        @Nullable
        String rarelyHeld(Candidate one) {
            return one.indication();
        }
    },
    SEX("as recorded", KnownVariable.LEFT_OUT) {
        @Override
        List<String> levels(Candidate one, Set<String> rare) {
            return value(one.sex(), rare);
        }

        @Override
        @Nullable
        String rarelyHeld(Candidate one) {
            return one.sex();
        }
    },
    LIMITED_MOUTH_OPENING("yes, no, not known", KnownVariable.LEFT_OUT) {
        @Override
        List<String> levels(Candidate one, Set<String> rare) {
            return value(one.mouthOpening(), rare);
        }

        @Override
        @Nullable
        String rarelyHeld(Candidate one) {
            return one.mouthOpening();
        }
    },
    OPERATOR_EXPERIENCE("bands of experience", KnownVariable.LEFT_OUT) {
        @Override
        List<String> inOrder(int level) {
            return Dictionary.current().variable(variable()).codes().stream()
                    .map(Code::value)
                    .toList();
        }

        @Override
        List<String> levels(Candidate one, Set<String> rare) {
            return value(one.experience(), rare);
        }
    };

    /** How the level is called at which nothing is told. */
    static final String LEFT_OUT = "left out";

    private static final String ANY = "*";

    private static final String OTHER = Coarsening.OTHER;
    private static final String NOT_KNOWN = Missing.UNKNOWN;

    /** Where each band begins, and its name. */
    private static final class Bands {
        private static final Bands AGES = new Bands(
                "0 0-6 d; 7 7-27 d; 28 28 d-2 mo; 91 3-5 mo; 183 6-11 mo; 365 12-23 mo; 731 2-4 y; 1826 5-7 y;"
                        + " 2922 8-11 y; 4383 12-14 y; 5479 15-17 y; 6574 18-89 y; 32872 90+ y",
                "0 0-27 d; 28 28 d-23 mo; 731 2-11 y; 4383 12-17 y; 6574 18-89 y; 32872 90+ y",
                "0 < 2 y; 731 2-17 y; 6574 18+ y");
        private static final Bands WEIGHTS = new Bands(
                "0 < 1.0; 1 1.0-1.49; 1.5 1.5-2.49; 2.5 2.5-4.9; 5 5-9.9; 10 10-19.9; 20 20-39.9; 40 40+",
                "0 < 2.5; 2.5 2.5-9.9; 10 10-39.9; 40 40+");

        private final List<NavigableMap<Double, String>> levels = new ArrayList<>();

        /** The value at every level, by where the finest band begins: each nests in the next. */
        private final NavigableMap<Double, List<String>> told = new TreeMap<>();

        private final List<String> notKnown = new ArrayList<>();

        Bands(String... levels) {
            for (String level : levels) {
                NavigableMap<Double, String> starts = new TreeMap<>();
                for (String band : level.split("; ?", -1)) {
                    String[] parts = band.split(" ", 2);
                    starts.put(Double.valueOf(parts[0]), parts[1]);
                }
                this.levels.add(starts);
                notKnown.add(NOT_KNOWN);
            }
            notKnown.add(ANY);
            for (Double start : this.levels.get(0).keySet()) {
                told.put(
                        start,
                        Stream.concat(
                                        this.levels.stream()
                                                .map(one ->
                                                        one.floorEntry(start).getValue()),
                                        Stream.of(ANY))
                                .toList());
            }
        }

        List<String> names(int level) {
            return level >= levels.size()
                    ? List.of()
                    : List.copyOf(levels.get(level).values());
        }

        List<String> of(@Nullable Double value) {
            return value == null
                    ? List.copyOf(notKnown)
                    : told.floorEntry(value).getValue();
        }
    }

    private static final Map<String, String> REASONS = Map.ofEntries(
            Map.entry("oxygenation", "respiratory"),
            Map.entry("ventilation", "respiratory"),
            Map.entry("apnoea", "respiratory"),
            Map.entry("obstruction_now", "respiratory"),
            Map.entry("obstruction_risk", "respiratory"),
            Map.entry("surfactant", "respiratory"),
            Map.entry("shock", "circulatory"),
            Map.entry("arrest", "circulatory"),
            Map.entry("consciousness", "neurological"),
            Map.entry("neuro_control", "neurological"),
            Map.entry("procedure", "procedural"));

    @SuppressWarnings("ImmutableEnumChecker") // A copy that nobody can change.
    private final List<String> words;

    KnownVariable(String... words) {
        this.words = List.of(words);
    }

    /** Its name in the dictionary. */
    public String variable() {
        return name().toLowerCase(Locale.ROOT);
    }

    /** What it is called here, where neither days nor times leave. */
    public String title() {
        return switch (this) {
            case AGE_DAYS -> "Age";
            case ENCOUNTER_START -> "When";
            default -> Dictionary.current().variable(variable()).title();
        };
    }

    /** How fine it is told at a level, from 0. */
    String words(int level) {
        return words.get(level);
    }

    /** Whether its values have an order. */
    boolean ordered() {
        return this == AGE_DAYS || this == ENCOUNTER_START || this == WEIGHT_KG || this == OPERATOR_EXPERIENCE;
    }

    /** Its values at a level in their order; empty where they have none, or that of the text. */
    List<String> inOrder(int level) {
        return List.of();
    }

    /** A value in words. */
    String label(String value) {
        return this == INDICATION_MAIN || this == SEX || this == LIMITED_MOUTH_OPENING || this == OPERATOR_EXPERIENCE
                ? Dictionary.current().variable(variable()).label(value)
                : value;
    }

    /** The value of a record at each level. */
    abstract List<String> levels(Candidate one, Set<String> rare);

    /** A value by which alone somebody could be recognised if few have it; null where bands see to that. */
    @Nullable
    String rarelyHeld(Candidate one) {
        return null;
    }

    static Optional<KnownVariable> named(String variable) {
        return Arrays.stream(values())
                .filter(one -> one.variable().equals(variable))
                .findFirst();
    }

    private static List<String> value(@Nullable String value, Set<String> rare) {
        String told = value == null || value.equals("unk") ? NOT_KNOWN : rare.contains(value) ? OTHER : value;
        return List.of(told, ANY);
    }
}
