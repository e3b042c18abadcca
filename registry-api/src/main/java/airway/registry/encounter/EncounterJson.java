package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes a kept record as JSON: the body as it came, and what the registry adds. */
final class EncounterJson {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);

    private final ZoneId zone;

    private EncounterJson(ZoneId zone) {
        this.zone = zone;
    }

    static ObjectNode of(Recorded recorded) {
        EncounterJson json = new EncounterJson(recorded.site().zone());
        Encounter encounter = recorded.encounter();
        ObjectNode out = JSON.createObjectNode();
        out.put("encounter_id", recorded.id().toString());
        out.put("version", recorded.version());
        out.put("status", recorded.status());
        out.put("recorded_at", json.instant(recorded.recordedAt()));
        out.put("dictionary_version", recorded.dictionaryVersion());
        out.put("site_id", recorded.site().code());
        reason(out, recorded.reason());
        json.put(out, encounter.answers());
        json.put(out.putObject("patient"), encounter.patient());
        ArrayNode courses = out.putArray("courses");
        for (Course course : encounter.courses()) {
            ObjectNode node = courses.addObject();
            json.put(node, course.answers());
            json.putAll(node.putArray("drugs"), course.drugs());
            json.putAll(node.putArray("attempts"), course.attempts());
        }
        json.putAll(out.putArray("events"), encounter.events());
        texts(out.putArray("confirmed"), encounter.confirmed());
        texts(out.putArray("incomplete"), recorded.incomplete());
        derived(out.putObject("derived"), recorded.derived());
        return out;
    }

    static ArrayNode of(List<VersionLine> versions, ZoneId zone) {
        ArrayNode out = JSON.createArrayNode();
        for (VersionLine version : versions) {
            ObjectNode line = out.addObject();
            line.put("version", version.number());
            line.put("status", version.status());
            line.put("written_at", INSTANT.format(version.writtenAt().atZone(zone)));
            reason(line, version.reason());
        }
        return out;
    }

    private static void reason(ObjectNode out, @Nullable Reason reason) {
        if (reason != null) {
            ObjectNode amendment = out.putObject("amendment");
            amendment.put("reason_code", reason.code().value());
            if (reason.text() != null) {
                amendment.put("reason_text", reason.text());
            }
        }
    }

    static ObjectNode of(DeviceSetup setup) {
        ObjectNode out = JSON.createObjectNode();
        out.put("device_setup_id", setup.id());
        out.put("title", setup.title());
        new EncounterJson(ZoneId.of("UTC")).put(out, setup.answers());
        return out;
    }

    private static void derived(ObjectNode out, Derived derived) {
        out.put("fps", word(derived.fps()));
        out.put("fps_strict", word(derived.fpsStrict()));
        out.put("fps_clean", word(derived.fpsClean()));
        out.put("tracheal_attempts", derived.trachealAttempts());
        out.put("spo2_lowest", derived.spo2Lowest());
        out.put("age_band", derived.ageBand());
    }

    private static String word(Derived.Verdict verdict) {
        return verdict.name().toLowerCase(Locale.ROOT);
    }

    private void putAll(ArrayNode out, List<Answers> rows) {
        rows.forEach(row -> put(out.addObject(), row));
    }

    private void put(ObjectNode out, Answers answers) {
        for (Variable variable : Dictionary.current().variables(answers.level())) {
            answers.value(variable.name()).ifPresent(value -> put(out, variable.name(), value));
        }
        if (!answers.unknown().isEmpty()) {
            texts(out.putArray("unknown"), List.copyOf(answers.unknown()));
        }
    }

    private void put(ObjectNode out, String name, Object value) {
        if (value instanceof Integer number) {
            out.put(name, number);
        } else if (value instanceof BigDecimal number) {
            out.put(name, number);
        } else if (value instanceof Instant instant) {
            out.put(name, instant(instant));
        } else if (value instanceof List<?> codes) {
            texts(out.putArray(name), codes.stream().map(Object::toString).toList());
        } else {
            out.put(name, value.toString());
        }
    }

    private static void texts(ArrayNode out, List<String> texts) {
        texts.forEach(out::add);
    }

    private String instant(Instant instant) {
        return INSTANT.format(instant.atZone(zone));
    }
}
