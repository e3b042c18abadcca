package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

/** Records drawn from the dictionary by chance: right ones, nearly right ones, and such as nobody means well with. */
final class GeneratedBodies {
    /** An object of a list is nothing without these. */
    private static final Set<String> NEEDED = Set.of("course_approach", "attempt_success", "drug_agent", "event_type");

    private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

    private final SplittableRandom random;
    private final String unit;
    private final Instant now;

    GeneratedBodies(long seed, String unit, Instant now) {
        this.random = new SplittableRandom(seed);
        this.unit = unit;
        this.now = now;
    }

    /** A record that the checks take: what they refuse in a drawn one is left out, what they ask about confirmed. */
    ObjectNode valid() {
        ObjectNode body = drawn();
        for (int round = 0; round < 40; round++) {
            try {
                EncounterForm.read(body, Map.of(), Circumstances.sent(now, Doses.NONE));
                return body;
            } catch (Problem.Invalid e) {
                e.faults().forEach(fault -> mend(body, fault));
            }
        }
        throw new IllegalStateException("no valid record: " + body);
    }

    private static void mend(ObjectNode body, Fault fault) {
        if (fault.severity() == Fault.Severity.CONFIRM) {
            body.withArrayProperty("confirmed").add(fault.path());
            return;
        }
        int last = fault.path().lastIndexOf('/');
        if (NEEDED.contains(fault.path().substring(last + 1))) {
            mend(body, Fault.at(fault.path().substring(0, last), fault.code(), fault.mend()));
            return;
        }
        JsonNode parent = body.at(fault.path().substring(0, last));
        if (parent instanceof ObjectNode object) {
            object.remove(fault.path().substring(last + 1));
        } else if (parent instanceof ArrayNode list
                && list.size() > Integer.parseInt(fault.path().substring(last + 1))) {
            list.remove(Integer.parseInt(fault.path().substring(last + 1)));
        }
    }

    private ObjectNode drawn() {
        ObjectNode body = object(Level.ENCOUNTER);
        body.put("site_id", unit)
                .put("encounter_kind", code("encounter_kind"))
                .put(
                        "encounter_start",
                        "2026-0%d-%02dT%02d:%02d:00Z"
                                .formatted(
                                        random.nextInt(1, 10),
                                        random.nextInt(1, 28),
                                        random.nextInt(24),
                                        random.nextInt(60)));
        body.set("patient", object(Level.PATIENT));
        ArrayNode courses = body.putArray("courses");
        for (int c = random.nextInt(3); c > 0; c--) {
            ObjectNode course = object(Level.COURSE).put("course_approach", code("course_approach"));
            ArrayNode drugs = course.putArray("drugs");
            for (int d = random.nextInt(3); d > 0; d--) {
                drugs.add(object(Level.DRUG).put("drug_agent", code("drug_agent")));
            }
            ArrayNode attempts = course.putArray("attempts");
            for (int a = random.nextInt(3); a > 0; a--) {
                attempts.add(object(Level.ATTEMPT).put("attempt_success", code("attempt_success")));
            }
            courses.add(course);
        }
        ArrayNode events = body.putArray("events");
        for (int e = random.nextInt(3); e > 0; e--) {
            events.add(object(Level.EVENT).put("event_type", code("event_type")));
        }
        return body;
    }

    private ObjectNode object(Level level) {
        ObjectNode object = NODES.objectNode();
        for (Variable variable : Dictionary.current().variables(level)) {
            boolean ours = variable.layer() != Layer.SYSTEM
                    && !variable.name().equals("device_setup_id")
                    && !JsonAnswers.NOT_KEPT.contains(variable.name());
            if (!ours || random.nextInt(3) > 0) {
                continue;
            }
            if (random.nextInt(12) == 0) {
                object.putNull(variable.name());
            } else if (random.nextInt(8) == 0 && !variable.hasOwnUnknown()) {
                object.withArrayProperty("unknown").add(variable.name());
            } else {
                object.set(variable.name(), answer(variable));
            }
        }
        return object;
    }

    private JsonNode answer(Variable variable) {
        return switch (variable.type()) {
            case INTEGER -> NODES.numberNode(number(variable).setScale(0, RoundingMode.HALF_EVEN));
            case NUMBER -> NODES.numberNode(number(variable).setScale(random.nextInt(5), RoundingMode.HALF_EVEN));
            case LIST -> {
                ArrayNode list = NODES.arrayNode();
                if (!variable.coded()) {
                    yield list.add("label \uD83D\uDC76 " + random.nextInt(99));
                }
                variable.codes().stream()
                        .filter(code -> !JsonAnswers.ALONE.contains(code.value()) && random.nextInt(4) == 0)
                        .forEach(code -> list.add(code.value()));
                yield list;
            }
            case DATETIME, DATE -> NODES.stringNode("2026-03-01T14:20:00+01:00");
            case STRING ->
                NODES.stringNode(variable.coded() ? code(variable.name()) : "clip \uD83D\uDC76 " + random.nextInt(99));
        };
    }

    private BigDecimal number(Variable variable) {
        BigDecimal least = variable.hard().minimum() == null
                ? BigDecimal.ZERO
                : variable.hard().minimum();
        BigDecimal most = variable.hard().maximum() == null
                ? BigDecimal.valueOf(1000)
                : variable.hard().maximum();
        double part = random.nextInt(10) == 0 ? random.nextInt(2) : random.nextDouble();
        return least.add(most.subtract(least).multiply(BigDecimal.valueOf(part)));
    }

    private String code(String variable) {
        var codes = Dictionary.current().variable(variable).codes();
        return codes.get(random.nextInt(codes.size())).value();
    }

    /** A valid record with one thing changed that somebody may get wrong. */
    JsonNode nearlyValid() {
        ObjectNode body = valid();
        ObjectNode object = pick(objects(body));
        List<String> names = List.copyOf(object.propertyNames());
        String name = names.isEmpty() ? "encounter_kind" : names.get(random.nextInt(names.size()));
        switch (random.nextInt(14)) {
            case 0 -> object.remove(name);
            case 1 -> object.put(name, -1);
            case 2 -> object.put(name, 101.5);
            case 3 -> object.put(name, "yes");
            case 4 -> object.put(name, true);
            case 5 -> object.putArray(name).add("none").add("other");
            case 6 -> object.putArray("unknown").add("weight_kg").add("urgency");
            case 7 -> object.put("weigth_kg", 7);
            case 8 -> object.put("version", 3);
            case 9 ->
                object.put("encounter_start", pick(List.of("2026-02-30T10:00:00Z", "2026-03-01T10:00", "yesterday")));
            case 10 -> object.put("spo2_lowest", 7.0);
            case 11 -> object.put("weight_kg", new BigDecimal("7.12345"));
            case 12 -> object.putNull(name);
            default -> body.putArray("confirmed").add("/weight_kg").add("/nowhere");
        }
        return body;
    }

    /** Bodies that are made to hurt: text, so that they need not be JSON. */
    String hostile() {
        ObjectNode body = valid();
        ObjectNode object = pick(objects(body));
        String evil = pick(List.of(
                "'; drop table encounter.version; --",
                "\"><img src=x onerror=1>",
                "=1+1",
                "\\u0000",
                "\\ud800",
                "\\u202e",
                "x".repeat(5_000),
                "%00../../etc"));
        String text = "\"" + evil.replace("\"", "\\\"") + "\"";
        return switch (random.nextInt(10)) {
            case 0 -> with(body, object, "footage_reference", text);
            case 1 -> with(body, object, "encounter_kind", text);
            case 2 -> with(body, object, "site_id", text);
            case 3 ->
                with(body, object, "weight_kg", pick(List.of("1e400", "1e-400", "1".repeat(400), "NaN", "-0", "1e2")));
            case 4 -> with(body, object, "patient", pick(List.of("[]", "7", "\"x\"", "[[[[[[[[[[[[[[]]]]]]]]]]]]]]")));
            case 5 ->
                with(
                        body,
                        object,
                        "courses",
                        "[" + "{\"course_approach\":\"oral\",\"attempts\":["
                                + String.join(",", java.util.Collections.nCopies(16, "{\"attempt_success\":\"no\"}"))
                                + "]},"
                                + "{\"course_approach\":\"oral\",\"attempts\":["
                                + String.join(",", java.util.Collections.nCopies(16, "{\"attempt_success\":\"no\"}"))
                                + "]}]");
            case 6 -> with(body, object, evil.replace("\"", ""), "1");
            case 7 ->
                body.toString().substring(0, random.nextInt(body.toString().length()));
            case 8 -> with(body, object, "confirmed", "[" + text + "]");
            default -> with(body, object, "unknown", "[" + text + ", null, 3]");
        };
    }

    /** The body as text with a member added to one of its objects as it is, escapes and all. */
    private static String with(ObjectNode body, ObjectNode object, String name, String value) {
        object.remove(name);
        object.put("@@", "@@");
        String text = body.toString();
        object.remove("@@");
        return text.replace("\"@@\":\"@@\"", "\"" + name + "\":" + value);
    }

    private static List<ObjectNode> objects(JsonNode json) {
        List<ObjectNode> objects = new ArrayList<>();
        if (json instanceof ObjectNode object) {
            objects.add(object);
        }
        json.forEach(child -> objects.addAll(objects(child)));
        return objects;
    }

    private <T> T pick(List<T> list) {
        return list.get(random.nextInt(list.size()));
    }

    /** So many bodies as text, the three kinds in turn. */
    Stream<String> some(int number) {
        return Stream.iterate(0, i -> i + 1).limit(number).map(i -> switch (i % 3) {
            case 0 -> valid().toString();
            case 1 -> nearlyValid().toString();
            default -> hostile();
        });
    }
}
