package airway.registry.dictionary;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/**
 * The variables of the registry, read from {@code variables.json} (Table Schema fields, one resource per level).
 *
 * <p>The dictionary is data: it feeds the checks, the form, the codebook and the reference page. Columns stay real and
 * typed; a test compares the two.
 */
public final class Dictionary {
    private static final Dictionary CURRENT = load();

    private final String version;
    private final Map<Level, Map<String, Variable>> levels;
    private final Map<String, Variable> byName;

    private Dictionary(String version, Map<Level, Map<String, Variable>> levels) {
        this.version = version;
        this.levels = levels;
        this.byName = new LinkedHashMap<>();
        levels.values().forEach(byName::putAll);
    }

    /** The dictionary in force. */
    public static Dictionary current() {
        return CURRENT;
    }

    public String version() {
        return version;
    }

    /** The variables of a level, in the order of the dictionary. */
    public Collection<Variable> variables(Level level) {
        return levels.getOrDefault(level, Map.of()).values();
    }

    public @Nullable Variable find(Level level, String name) {
        return levels.getOrDefault(level, Map.of()).get(name);
    }

    /**
     * A variable that the program itself knows by name.
     *
     * @throws IllegalArgumentException if the dictionary lacks it
     */
    public Variable variable(String name) {
        Variable variable = byName.get(name);
        if (variable == null) {
            throw new IllegalArgumentException("no variable " + name + " in the dictionary");
        }
        return variable;
    }

    public boolean contains(String name) {
        return byName.containsKey(name);
    }

    private static Dictionary load() {
        try (InputStream json = Dictionary.class.getResourceAsStream("variables.json")) {
            JsonNode root = new JsonMapper().readTree(Objects.requireNonNull(json, "variables.json"));
            Map<Level, Map<String, Variable>> levels = new EnumMap<>(Level.class);
            for (JsonNode resource : root.path("resources")) {
                for (JsonNode field : resource.path("schema").path("fields")) {
                    Variable variable = variable(resource.path("name").asString(), field);
                    levels.computeIfAbsent(variable.level(), level -> new LinkedHashMap<>())
                            .put(variable.name(), variable);
                }
            }
            return new Dictionary(root.path("version").asString(), levels);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static Variable variable(String resource, JsonNode field) {
        JsonNode ask = field.path("ask");
        List<Code> codes = new ArrayList<>();
        for (JsonNode category : field.path("categories")) {
            codes.add(new Code(
                    category.path("value").asString(), category.path("label").asString()));
        }
        String name = field.path("name").asString();
        return new Variable(
                name,
                field.path("title").asString(),
                field.path("description").asString(),
                level(resource, name),
                Layer.valueOf(ask.path("layer").asString().toUpperCase(Locale.ROOT)),
                Variable.Type.valueOf(field.path("type").asString().toUpperCase(Locale.ROOT)),
                field.path("unit").asString(null),
                List.copyOf(codes),
                range(field.path("constraints")),
                range(field.path("plausible")),
                ask.has("when") ? Condition.parse(ask.path("when").asString()) : Condition.ALWAYS,
                field.path("privacy").asString(),
                field.path("source").asString(""));
    }

    /** Where the answer stands in a record: people and set-ups are told at the attempt, drugs are rows of a course. */
    private static Level level(String resource, String name) {
        if (resource.equals("operator") || name.equals("device_setup_id")) {
            return Level.ATTEMPT;
        }
        if (resource.equals("course") && name.startsWith("drug_")) {
            return Level.DRUG;
        }
        return Level.valueOf(resource.toUpperCase(Locale.ROOT));
    }

    private static Variable.Range range(JsonNode limits) {
        return limits.isMissingNode()
                ? Variable.Range.NONE
                : new Variable.Range(
                        limits.has("minimum") ? limits.path("minimum").decimalValue() : null,
                        limits.has("maximum") ? limits.path("maximum").decimalValue() : null);
    }
}
