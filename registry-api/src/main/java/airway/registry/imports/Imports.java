package airway.registry.imports;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.encounter.DeviceSetup;
import airway.registry.encounter.DeviceSetups;
import airway.registry.encounter.Encounters;
import airway.registry.problem.Problem;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import org.springframework.stereotype.Component;
import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

/** Takes old records from a table: each row once, each judged like a new record. */
@Component
public class Imports {
    private final Encounters encounters;
    private final DeviceSetups setups;
    private final Sites sites;

    Imports(Encounters encounters, DeviceSetups setups, Sites sites) {
        this.encounters = encounters;
        this.setups = setups;
        this.sites = sites;
    }

    /**
     * Keeps every good row, and tells what is wrong with the others.
     *
     * @throws ImportRefused if the unit or the set-ups of the mapping cannot be used, or the database goes away
     */
    public ImportReport take(ImportFile file) {
        Mapping mapping = file.mapping();
        checkNames(mapping);
        Site site = site(mapping.unit());
        Map<String, ObjectNode> known = addSetups(site, mapping);
        Map<Integer, UUID> taken = new TreeMap<>();
        Map<Integer, List<Complaint>> rejected = new TreeMap<>();
        Map<String, Integer> notKnown = new TreeMap<>();
        int before = 0;
        Set<String> keys = new HashSet<>();
        for (CsvTable.Row row : file.table().rows()) {
            RowReader.Made made = RowReader.read(mapping, file.table(), row, known);
            List<Complaint> complaints = made.complaints();
            if (complaints.isEmpty() && !keys.add(made.sourceRow())) {
                complaints = List.of(new Complaint(
                        String.join(" ", mapping.rowKey()), "row.key", "An earlier row has the same key."));
            }
            if (complaints.isEmpty()) {
                try {
                    Optional<UUID> id = encounters.take(made.body(), made.sourceRow(), mapping.confirm());
                    if (id.isPresent()) {
                        taken.put(row.number(), id.get());
                        made.notKnown().forEach(name -> notKnown.merge(name, 1, Integer::sum));
                    } else {
                        before++;
                    }
                } catch (Problem.Unavailable e) {
                    throw ImportRefused.unreachable("The database went away at row " + row.number()
                            + "; the rows before it are kept, and the same command goes on from there.");
                } catch (Problem problem) {
                    complaints = complaints(problem, made);
                }
            }
            if (!complaints.isEmpty()) {
                rejected.put(row.number(), complaints);
            }
        }
        return new ImportReport(taken, before, rejected, notKnown);
    }

    /** Records of real patients and invented ones never share a unit: no chart could tell them apart. */
    private Site site(Mapping.Unit unit) {
        Site site = sites.add(unit.code(), unit.title(), unit.kind(), unit.zone(), unit.invented());
        if (site.invented() != unit.invented()) {
            throw ImportRefused.policy("The unit \"" + unit.code() + "\" holds "
                    + (site.invented() ? "invented" : "real") + " records; give these a unit of their own.");
        }
        return site;
    }

    private Map<String, ObjectNode> addSetups(Site site, Mapping mapping) {
        Map<String, ObjectNode> known = new HashMap<>();
        for (DeviceSetup setup : setups.all(site)) {
            known.put(setup.id(), json(setup));
        }
        for (ObjectNode body : mapping.setups()) {
            String id = body.path("device_setup_id").asString("");
            if (id.isEmpty()) {
                throw Part.refused("device_setups", "each needs a \"device_setup_id\"");
            }
            if (!known.containsKey(id)) {
                try {
                    known.put(id, json(setups.add(body.deepCopy().put("site_id", site.code()))));
                } catch (Problem problem) {
                    String why = problem.faults().isEmpty()
                            ? problem.detail()
                            : problem.faults().get(0).path() + " "
                                    + problem.faults().get(0).mend();
                    throw Part.refused("device_setups/" + id, why.replaceFirst("\\.$", ""));
                }
            }
        }
        return known;
    }

    private static ObjectNode json(DeviceSetup setup) {
        ObjectNode json = JsonNodeFactory.instance.objectNode();
        setup.answers().values().forEach((name, value) -> json.put(name, value.toString()));
        return json;
    }

    /** Before anything is added: a mapping that names a set-up which neither it nor the unit has. */
    private void checkNames(Mapping mapping) {
        Set<String> known = new HashSet<>();
        sites.find(mapping.unit().code()).ifPresent(site -> setups.all(site).forEach(setup -> known.add(setup.id())));
        mapping.setups()
                .forEach(setup -> known.add(setup.path("device_setup_id").asString("")));
        for (String id : mapping.setupsNamed()) {
            if (!known.contains(id)) {
                throw Part.refused("device_setup_id", "the unit has no set-up \"" + id + "\"");
            }
        }
    }

    private static List<Complaint> complaints(Problem problem, RowReader.Made made) {
        return problem.faults().isEmpty()
                ? List.of(new Complaint("", problem.slug(), problem.detail()))
                : problem.faults().stream()
                        .map(fault -> new Complaint(made.origin(fault.path()), fault.code(), fault.mend()))
                        .toList();
    }
}
