package airway.registry.imports;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.encounter.DeviceSetup;
import airway.registry.encounter.DeviceSetups;
import airway.registry.encounter.Encounters;
import airway.registry.problem.Problem;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.function.Function;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

/**
 * Takes old records from a table: each row once, each judged like a new record.
 *
 * <p>Rows go through in batches, so memory does not grow with the file; only the keys of its rows are held, where the
 * mapping names columns for them. One import at a time goes into a unit: a second one waits, and then finds what the
 * first has taken.
 */
@Component
public class Imports {
    private static final int BATCH = 500;
    private static final long WAIT_MS = 500;

    private final ActorTransactions transactions;
    private final Encounters encounters;
    private final DeviceSetups setups;

    Imports(ActorTransactions transactions, Encounters encounters, DeviceSetups setups) {
        this.transactions = transactions;
        this.encounters = encounters;
        this.setups = setups;
    }

    /**
     * The unit, with the set-ups that rows may name.
     *
     * @param site null where the unit is not there yet and nothing is stored
     */
    private record Ready(@Nullable Site site, Map<String, DeviceSetup> setups, Map<String, ObjectNode> setupsAsJson) {}

    /**
     * Takes, or only checks, the rows of a table.
     *
     * @throws ImportRefused if the unit or the set-ups of the mapping cannot be used, or the database goes away
     */
    public ImportReport run(ImportFile file, Take take, Watcher watcher) {
        Pass pass = new Pass(file, take, watcher, encounters);
        try (CsvRows rows = file.open()) {
            switch (take) {
                case CHECK_ONLY -> check(file.mapping(), pass, rows);
                case GOOD_ROWS -> takeGood(file.mapping(), pass, rows, watcher);
                case ALL_OR_NOTHING -> takeAll(file.mapping(), pass, rows, watcher);
            }
            return pass.report();
        } catch (Problem.Unavailable e) {
            throw ImportRefused.unreachable(
                    take == Take.GOOD_ROWS
                            ? "The database went away after row " + pass.reached()
                                    + "; the rows before it are kept, and the same command goes on from there."
                            : "The database went away; nothing was stored.");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private void check(Mapping mapping, Pass pass, CsvRows rows) {
        Ready ready = transactions.read(dsl -> ready(dsl, mapping, false));
        while (pass.read(rows, BATCH, ready.setupsAsJson())) {
            pass.judge(transactions.read(dsl -> before(dsl, ready, pass)), ready.setups());
            pass.told(Map.of());
        }
    }

    private void takeGood(Mapping mapping, Pass pass, CsvRows rows, Watcher watcher) {
        Ready ready = alone(mapping, watcher, dsl -> ready(dsl, mapping, true));
        while (pass.read(rows, BATCH, ready.setupsAsJson())) {
            pass.told(alone(mapping, watcher, dsl -> {
                pass.judge(before(dsl, ready, pass), ready.setups());
                return encounters.keep(dsl, Objects.requireNonNull(ready.site()), pass.good());
            }));
        }
    }

    private void takeAll(Mapping mapping, Pass pass, CsvRows rows, Watcher watcher) {
        try {
            alone(mapping, watcher, dsl -> {
                Ready ready = ready(dsl, mapping, true);
                while (pass.read(rows, BATCH, ready.setupsAsJson())) {
                    pass.judge(before(dsl, ready, pass), ready.setups());
                    Map<String, UUID> kept = Map.of();
                    if (pass.report().rejected() == 0) {
                        kept = encounters.keep(dsl, Objects.requireNonNull(ready.site()), pass.good());
                        checkNow(dsl);
                    }
                    pass.told(kept);
                }
                if (pass.report().rejected() > 0) {
                    throw new TakenBack();
                }
                return true;
            });
        } catch (TakenBack e) {
            // The report says which rows are to be mended.
        }
    }

    /** Lets the database check and audit a batch at once, and not fifty thousand rows when the transaction ends. */
    private static void checkNow(DSLContext dsl) {
        dsl.execute("set constraints all immediate");
        dsl.execute("set constraints all deferred");
    }

    /** Ends a transaction that must leave nothing behind. */
    private static final class TakenBack extends RuntimeException {
        TakenBack() {
            super(null, null, false, false);
        }
    }

    private Set<String> before(DSLContext dsl, Ready ready, Pass pass) {
        Site site = ready.site();
        return site == null || pass.keys().isEmpty() ? Set.of() : encounters.takenBefore(dsl, site, pass.keys());
    }

    /** Runs the work in a transaction during which no other import goes into the unit. */
    private <T> T alone(Mapping mapping, Watcher watcher, Function<DSLContext, T> work) {
        String unit = mapping.unit().code();
        while (true) {
            Optional<T> done =
                    transactions.write(dsl -> held(dsl, unit) ? Optional.of(work.apply(dsl)) : Optional.empty());
            if (done.isPresent()) {
                return done.get();
            }
            watcher.waits();
            try {
                Thread.sleep(WAIT_MS);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                throw ImportRefused.unreachable("The import was stopped while it waited for another one.");
            }
        }
    }

    private static boolean held(DSLContext dsl, String unit) {
        return dsl.select(DSL.field(
                        "pg_try_advisory_xact_lock(hashtextextended({0}, 0))",
                        Boolean.class, DSL.val("import " + unit)))
                .fetchSingle()
                .value1();
    }

    /** Finds the unit and the set-ups of the mapping, and adds those that are missing if records are to be stored. */
    private Ready ready(DSLContext dsl, Mapping mapping, boolean store) {
        Mapping.Unit unit = mapping.unit();
        Site site = store
                ? Sites.add(dsl, unit.code(), unit.title(), unit.kind(), unit.zone(), unit.invented())
                : Sites.find(dsl, unit.code()).orElse(null);
        if (site != null && site.invented() != unit.invented()) {
            // No chart could tell the two apart.
            throw ImportRefused.policy("The unit \"" + unit.code() + "\" holds "
                    + (site.invented() ? "invented" : "real") + " records; give these a unit of their own.");
        }
        Map<String, DeviceSetup> known = new LinkedHashMap<>(site == null ? Map.of() : setups.ofSite(dsl, site));
        for (ObjectNode body : mapping.setups()) {
            String id = body.path("device_setup_id").asString("");
            if (id.isEmpty()) {
                throw Part.refused("device_setups", "each needs a \"device_setup_id\"");
            }
            if (!known.containsKey(id)) {
                known.put(id, added(dsl, site, body, known, store));
            }
        }
        for (String id : mapping.setupsNamed()) {
            if (!known.containsKey(id)) {
                throw Part.refused("device_setup_id", "the unit has no set-up \"" + id + "\"");
            }
        }
        Map<String, ObjectNode> json = new LinkedHashMap<>();
        known.forEach((id, setup) -> json.put(id, json(setup)));
        return new Ready(site, known, json);
    }

    private DeviceSetup added(
            DSLContext dsl, @Nullable Site site, ObjectNode body, Map<String, DeviceSetup> known, boolean store) {
        String place = "device_setups/" + body.path("device_setup_id").asString("");
        try {
            DeviceSetup setup = setups.read(body);
            if (known.values().stream().anyMatch(there -> there.title().equals(setup.title()))) {
                throw Part.refused(place, "the unit has a set-up of this title under another key");
            }
            return store ? setups.add(dsl, Objects.requireNonNull(site), setup) : setup;
        } catch (Problem problem) {
            String why = problem.faults().isEmpty()
                    ? problem.detail()
                    : problem.faults().get(0).path() + " "
                            + problem.faults().get(0).mend();
            throw Part.refused(place, why.replaceFirst("\\.$", ""));
        }
    }

    private static ObjectNode json(DeviceSetup setup) {
        ObjectNode json = JsonNodeFactory.instance.objectNode();
        setup.answers().values().forEach((name, value) -> json.put(name, value.toString()));
        return json;
    }
}
