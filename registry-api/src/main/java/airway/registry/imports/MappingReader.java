package airway.registry.imports;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.time.DateTimeException;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import tools.jackson.core.JacksonException;
import tools.jackson.core.StreamReadFeature;
import tools.jackson.databind.DeserializationFeature;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

/** Reads a mapping file and compares every name in it with the dictionary, before any row is looked at. */
final class MappingReader {
    private static final JsonMapper STRICT = JsonMapper.builder()
            .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
            .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
            .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
            .build();
    private static final Set<Level> OF_A_ROW = Set.of(Level.PATIENT, Level.ENCOUNTER, Level.COURSE, Level.ATTEMPT);

    private static final Variable.Range TIMES =
            new Variable.Range(new BigDecimal("0.000001"), new BigDecimal("1000000"));

    private final Part mapping;
    private final Set<String> notKnown;

    private MappingReader(Part mapping) {
        this.mapping = mapping;
        this.notKnown = new HashSet<>(mapping.texts("not_known"));
    }

    /**
     * Reads a mapping.
     *
     * @throws ImportRefused naming the first thing in it that cannot be used
     */
    static Mapping read(byte[] json) {
        JsonNode root;
        try {
            root = STRICT.readTree(json);
        } catch (JacksonException e) {
            throw ImportRefused.unusable("The mapping is not JSON as it should be, near line "
                    + (e.getLocation() == null ? 1 : e.getLocation().getLineNr()) + ".");
        }
        Part mapping = Part.of(root, "")
                .only(
                        "about",
                        "site",
                        "source",
                        "row_key",
                        "not_known",
                        "encounter_start",
                        "constants",
                        "columns",
                        "attempts",
                        "events",
                        "absent",
                        "confirm",
                        "device_setups",
                        "ignore");
        return new MappingReader(mapping).mapping();
    }

    private Mapping mapping() {
        Mapping.Unit unit = unit(mapping.part("site"));
        List<String> rowKey = mapping.texts("row_key");
        return new Mapping(
                unit,
                source(),
                rowKey.equals(List.of("#")) ? List.of() : rowKey,
                notKnown,
                StartRule.read(mapping.part("encounter_start"), unit.zone()),
                constants(),
                rules(mapping, OF_A_ROW),
                mapping.parts("attempts").stream().map(this::attempt).toList(),
                events(),
                mapping.texts("absent").stream()
                        .map(name -> variable(name, OF_A_ROW, "absent"))
                        .toList(),
                confirmed(),
                mapping.parts("device_setups").stream().map(Part::json).toList(),
                Set.copyOf(ignored()));
    }

    private String source() {
        String source = mapping.text("source");
        if (source.length() > 80 || source.chars().anyMatch(Character::isISOControl)) {
            throw mapping.refused("\"source\" may have 80 characters on one line");
        }
        return source;
    }

    private static Mapping.Unit unit(Part site) {
        site.only("site_id", "title", "site_kind", "zone", "invented");
        String kind = site.text("site_kind");
        Variable kinds = Objects.requireNonNull(Dictionary.current().find(Level.SITE, "site_kind"));
        if (kinds.code(kind).isEmpty()) {
            throw site.refused("\"" + kind + "\" is no code of site_kind");
        }
        if (!site.text("site_id").matches("[a-z][a-z0-9_-]{1,31}")) {
            throw site.refused("\"site_id\" must be 2 to 32 of a-z, 0-9, - and _, beginning with a letter");
        }
        if (site.text("title").length() > 80) {
            throw site.refused("\"title\" may have 80 characters");
        }
        try {
            return new Mapping.Unit(
                    site.text("site_id"),
                    site.text("title"),
                    kind,
                    ZoneId.of(site.text("zone")),
                    site.flag("invented"));
        } catch (DateTimeException e) {
            throw site.refused("\"zone\" is not a time zone, for example Europe/London");
        }
    }

    private Map<Level, ObjectNode> constants() {
        Map<Level, ObjectNode> constants = new EnumMap<>(Level.class);
        mapping.members("constants").forEach((name, part) -> {
            Level level = OF_A_ROW.stream()
                    .filter(one -> one.name().toLowerCase(Locale.ROOT).equals(name))
                    .findFirst()
                    .orElseThrow(() -> part.refused("the levels are patient, encounter, course and attempt"));
            part.json()
                    .properties()
                    .forEach(answer -> checked(
                            variable(answer.getKey(), Set.of(level), part.place()), answer.getValue(), part.place()));
            constants.put(level, part.json());
        });
        return constants;
    }

    private List<ColumnRule> rules(Part part, Set<Level> levels) {
        List<ColumnRule> rules = new ArrayList<>();
        Set<String> answered = new HashSet<>();
        part.members("columns").forEach((column, rule) -> rules.add(rule(column, rule, levels)));
        for (ColumnRule rule : rules) {
            Variable variable = rule.variable();
            if (!answered.add(variable.name()) && variable.type() != Variable.Type.LIST) {
                throw part.refused(variable.name() + " is answered by two columns");
            }
        }
        return List.copyOf(rules);
    }

    private ColumnRule rule(String column, Part rule, Set<Level> levels) {
        rule.only("to", "with", "codes", "not_known", "times", "round");
        Variable variable = variable(rule.text("to"), levels, rule.place());
        String with = rule.optionalText("with").orElse(null);
        Map<List<String>, JsonNode> codes = codes(rule, variable, with != null);
        boolean mustBeCoded =
                variable.coded() || with != null || variable.name().equals("device_setup_id");
        if (mustBeCoded && codes.isEmpty()) {
            throw rule.refused("\"codes\" is missing: say which cell means which code of " + variable.name());
        }
        boolean number = variable.type() == Variable.Type.INTEGER || variable.type() == Variable.Type.NUMBER;
        if ((rule.has("times") || rule.has("round")) && !number) {
            throw rule.refused("\"times\" and \"round\" are for numbers");
        }
        if (rule.has("times")
                && (!rule.node("times").isNumber()
                        || !TIMES.contains(rule.node("times").decimalValue()))) {
            throw rule.refused("\"times\" must be a number from 0.000001 to 1000000");
        }
        Set<String> tokens = new HashSet<>(notKnown);
        tokens.addAll(rule.texts("not_known"));
        return new ColumnRule(
                column,
                with,
                variable,
                codes,
                tokens,
                rule.has("times") ? rule.node("times").decimalValue() : BigDecimal.ONE,
                rule.flag("round"));
    }

    /** With a second column the codes stand one level deeper: first by the cell of the one, then of the other. */
    private static Map<List<String>, JsonNode> codes(Part rule, Variable variable, boolean pair) {
        Map<List<String>, JsonNode> codes = new LinkedHashMap<>();
        String place = rule.place() + "/codes";
        if (rule.has("codes")) {
            rule.part("codes").json().properties().forEach(first -> {
                if (pair) {
                    Part.of(first.getValue(), place + "/" + first.getKey())
                            .json()
                            .properties()
                            .forEach(second -> codes.put(
                                    List.of(first.getKey(), second.getKey()),
                                    checked(variable, second.getValue(), place)));
                } else {
                    codes.put(List.of(first.getKey()), checked(variable, first.getValue(), place));
                }
            });
        }
        return codes;
    }

    private AttemptRule attempt(Part attempt) {
        attempt.only("present", "columns");
        return new AttemptRule(attempt.texts("present"), rules(attempt, Set.of(Level.ATTEMPT)));
    }

    private List<EventRule> events() {
        List<EventRule> events = new ArrayList<>();
        mapping.members("events").forEach((column, part) -> {
            part.only("yes", "no", "event");
            Part event = part.part("event");
            event.json()
                    .properties()
                    .forEach(answer -> checked(
                            variable(answer.getKey(), Set.of(Level.EVENT), event.place()),
                            answer.getValue(),
                            event.place()));
            if (!event.has("event_type") || part.texts("yes").isEmpty()) {
                throw part.refused("say which cells mean \"yes\", and the \"event_type\"");
            }
            events.add(
                    new EventRule(column, Set.copyOf(part.texts("yes")), Set.copyOf(part.texts("no")), event.json()));
        });
        return events;
    }

    private Set<String> confirmed() {
        Set<String> confirmed = new LinkedHashSet<>();
        for (String name : mapping.texts("confirm")) {
            confirmed.add(variable(name, OF_A_ROW, "confirm").name());
        }
        return confirmed;
    }

    /** A list of columns, or better an object that says why each is left out. */
    private Set<String> ignored() {
        return mapping.node("ignore").isObject()
                ? new LinkedHashSet<>(mapping.node("ignore").propertyNames())
                : new LinkedHashSet<>(mapping.texts("ignore"));
    }

    private static Variable variable(String name, Set<Level> levels, String place) {
        Dictionary dictionary = Dictionary.current();
        if (name.startsWith("encounter_start")) {
            throw Part.refused(place, name + " has a setting of its own, \"encounter_start\"");
        }
        return levels.stream()
                .map(level -> dictionary.find(level, name))
                .filter(Objects::nonNull)
                .filter(variable -> variable.layer() != Layer.SYSTEM)
                .findFirst()
                .orElseThrow(() -> Part.refused(place, "there is no variable \"" + name + "\" here"));
    }

    /** A code must be one of the variable; a list may be given as one code. */
    private static JsonNode checked(Variable variable, JsonNode answer, String place) {
        ArrayNode list = JsonNodeFactory.instance.arrayNode();
        (answer.isArray() ? answer : JsonNodeFactory.instance.arrayNode().add(answer)).forEach(list::add);
        for (JsonNode code : list) {
            boolean there = code.isString() && variable.code(code.stringValue()).isPresent();
            if (variable.coded() && !there) {
                throw Part.refused(place, "\"" + code.asString("") + "\" is no code of " + variable.name());
            }
        }
        if (answer.isArray() && variable.type() != Variable.Type.LIST) {
            throw Part.refused(place, variable.name() + " takes one answer, not a list");
        }
        return variable.type() == Variable.Type.LIST ? list : answer;
    }
}
