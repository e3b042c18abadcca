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
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Records of any shape that the registry takes, from a seed: each variable answered, not known or blank. */
final class AnyRecord {
    private static final JsonMapper JSON = new JsonMapper();
    private static final Set<String> NEEDED = Set.of(
            "encounter_kind", "encounter_start", "course_approach", "attempt_success", "event_type", "drug_agent");

    private final Random random;
    private final List<String> setups;

    private AnyRecord(long seed, List<String> setups) {
        this.random = new Random(seed);
        this.setups = setups;
    }

    /** A body that is accepted: what is refused of a random one is taken out, what is unlikely is confirmed. */
    static ObjectNode of(long seed, Map<String, DeviceSetup> setups, Instant now) {
        ObjectNode body = new AnyRecord(seed, List.copyOf(setups.keySet())).body();
        for (int round = 0; round < 40; round++) {
            try {
                EncounterForm.read(body, setups, now);
                return body;
            } catch (Problem.Invalid e) {
                e.faults().forEach(fault -> mend(body, fault));
            }
        }
        throw new IllegalStateException("seed " + seed + " gives no record");
    }

    private static void mend(ObjectNode body, Fault fault) {
        if (fault.severity() == Fault.Severity.CONFIRM) {
            ((ArrayNode) body.path("confirmed")).add(fault.path());
            return;
        }
        String path = fault.path();
        String parent = path.substring(0, path.lastIndexOf('/'));
        String name = path.substring(path.lastIndexOf('/') + 1);
        if (body.at(path).isMissingNode()) {
            return; // A fault before it in the list has taken it out, or what is missing follows from that.
        }
        if (path.equals("/confirmed")) {
            body.putArray("confirmed");
        } else if (name.matches("\\d+")) {
            ((ArrayNode) body.at(parent)).remove(Integer.parseInt(name));
        } else if (name.equals("tube_passes")) {
            ((ObjectNode) body.at(parent)).put("tube_passes", 1);
        } else if (body.at(parent) instanceof ObjectNode object) {
            object.remove(name);
        }
    }

    private ObjectNode body() {
        ObjectNode body = JSON.createObjectNode();
        fill(body, Level.ENCOUNTER);
        body.put(
                "encounter_start",
                "2026-%02d-%02dT%02d:%02d:00+00:00"
                        .formatted(
                                1 + random.nextInt(10),
                                1 + random.nextInt(28),
                                random.nextInt(24),
                                random.nextInt(60)));
        fill(body.putObject("patient"), Level.PATIENT);
        ArrayNode courses = body.putArray("courses");
        int number = random.nextInt(8) == 0 ? 0 : 1 + random.nextInt(3);
        for (int c = 0; c < number; c++) {
            ObjectNode course = courses.addObject();
            fill(course, Level.COURSE);
            rows(course.putArray("drugs"), Level.DRUG, random.nextInt(4));
            rows(course.putArray("attempts"), Level.ATTEMPT, 1 + random.nextInt(3));
        }
        rows(body.putArray("events"), Level.EVENT, random.nextInt(4));
        if (!body.path("events").isEmpty()) {
            body.put("adverse_event_any", "yes");
        }
        body.putArray("confirmed");
        return body;
    }

    private void rows(ArrayNode rows, Level level, int number) {
        for (int i = 0; i < number; i++) {
            fill(rows.addObject(), level);
        }
    }

    private void fill(ObjectNode object, Level level) {
        List<String> unknown = new ArrayList<>();
        for (Variable variable : Dictionary.current().variables(level)) {
            String name = variable.name();
            boolean needed = NEEDED.contains(name);
            if (variable.layer() == Layer.SYSTEM || name.equals("birth_date") || name.equals("encounter_start")) {
                continue;
            }
            int dice = needed ? 9 : random.nextInt(10);
            if (dice == 1 && !variable.hasOwnUnknown()) {
                unknown.add(name);
            } else if (dice > 2) {
                answer(object, variable);
            }
        }
        if (!unknown.isEmpty()) {
            ArrayNode names = object.putArray("unknown");
            unknown.forEach(names::add);
        }
    }

    private void answer(ObjectNode object, Variable variable) {
        String name = variable.name();
        if (name.equals("device_setup_id")) {
            object.put(name, setups.get(random.nextInt(setups.size())));
        } else if (variable.type() == Variable.Type.LIST && !variable.coded()) {
            object.putArray(name).add("label-" + random.nextInt(1000));
        } else if (variable.type() == Variable.Type.LIST) {
            list(object.putArray(name), variable);
        } else if (variable.coded()) {
            object.put(
                    name,
                    variable.codes()
                            .get(random.nextInt(variable.codes().size()))
                            .value());
        } else if (variable.type() == Variable.Type.INTEGER) {
            object.put(name, number(variable).intValue());
        } else if (variable.type() == Variable.Type.NUMBER) {
            object.put(name, number(variable).setScale(1, RoundingMode.HALF_UP));
        } else {
            object.put(name, "label-" + random.nextInt(1000));
        }
    }

    private void list(ArrayNode list, Variable variable) {
        List<String> codes = new ArrayList<>(variable.codes().stream()
                .map(code -> code.value())
                .filter(code -> !code.equals("none") && !code.equals("unk"))
                .toList());
        Collections.shuffle(codes, random);
        boolean none = variable.code("none").isPresent() && random.nextInt(3) == 0;
        (none ? List.of("none") : codes.subList(0, 1 + random.nextInt(3))).forEach(list::add);
    }

    /** A number within the plausible limits, or anywhere in the hard ones. */
    private BigDecimal number(Variable variable) {
        Variable.Range range =
                random.nextInt(4) == 0 || variable.soft().maximum() == null ? variable.hard() : variable.soft();
        double least = range.minimum() == null ? 0 : range.minimum().doubleValue();
        double most = range.maximum() == null ? 100 : range.maximum().doubleValue();
        return BigDecimal.valueOf(Math.floor(least + random.nextDouble() * (most - least)));
    }
}
