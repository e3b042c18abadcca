package airway.registry.demo;

import airway.registry.access.DemoPeople;
import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.changes.Changes;
import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.encounter.DeviceSetup;
import airway.registry.encounter.DeviceSetups;
import airway.registry.encounter.Encounters;
import airway.registry.kit.KitDoor;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.YearMonth;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.Collectors;
import org.springframework.stereotype.Component;
import tools.jackson.databind.node.ObjectNode;

/** Fills an empty registry with invented units and records. */
/*
 * A unit is added when its turn comes, so a filling that was broken off can be told by a unit that is not there yet; a
 * row that was taken is not taken twice, so filling again is going on.
 */
@Component
public class Demo {
    /** Seed of the data that {@code serve} shows. */
    public static final long SEED = 1;

    /** Full months before the present one. */
    public static final int MONTHS = Scenario.MONTHS;

    private static final int THREADS = 3;

    /** The unit that has a kit. */
    private static final String WITH_KIT = "harbour";

    private final Sites sites;
    private final DeviceSetups setups;
    private final Encounters encounters;
    private final Changes changes;
    private final KitDoor kit;
    private final DemoPeople people;
    private final ActorTransactions transactions;
    private final Clock clock;

    Demo(
            Sites sites,
            DeviceSetups setups,
            Encounters encounters,
            Changes changes,
            KitDoor kit,
            DemoPeople people,
            ActorTransactions transactions,
            Clock clock) {
        this.sites = sites;
        this.setups = setups;
        this.encounters = encounters;
        this.changes = changes;
        this.kit = kit;
        this.people = people;
        this.transactions = transactions;
        this.clock = clock;
    }

    /** Whether nothing but invented units of this scenario is there. */
    public boolean free() {
        Set<String> ours = Scenario.UNITS.stream().map(UnitPlan::code).collect(Collectors.toSet());
        return sites.all().stream().allMatch(site -> site.invented() && ours.contains(site.code()));
    }

    /** Whether all units of the scenario are there. */
    public boolean filled() {
        return Scenario.UNITS.stream().allMatch(unit -> sites.find(unit.code()).isPresent());
    }

    /**
     * Adds units, set-ups and records; what is there already stays as it is.
     *
     * @return how many records were added
     * @throws IllegalStateException if a record is not accepted, which is a fault of this program
     */
    public int fill(long seed, int months) {
        int added = 0;
        ExecutorService threads = Executors.newFixedThreadPool(THREADS);
        try {
            for (UnitPlan unit : Scenario.UNITS) {
                Site site = sites.add(unit.code(), unit.title(), unit.kind(), ZoneId.of(Scenario.ZONE), true);
                addSetups(site, unit);
                addChange(site, unit);
                List<Future<Integer>> taken = new ArrayList<>();
                List<List<InventedRecord>> records = new InventedRecords(seed, unit, clock.instant()).byMonth(months);
                List<InventedRecord> traced = site.code().equals(WITH_KIT) ? enterKit(site, records) : List.of();
                for (List<InventedRecord> month : records) {
                    taken.add(threads.submit(() -> Acting.asProgram(() -> take(month))));
                }
                for (Future<Integer> month : taken) {
                    added += month.get();
                }
                encounters.tellKit(
                        site, traced.stream().map(InventedRecord::sourceRow).toList());
            }
            transactions.write(dsl -> dsl.execute("select analysis.gather_statistics()"));
            return added;
        } catch (ExecutionException e) {
            throw new IllegalStateException("invented data were not accepted", e.getCause());
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted while filling", e);
        } finally {
            threads.shutdownNow();
        }
    }

    /**
     * Where invented people are offered, the home unit has a kit too: its moves are those of the kit keeper, and the
     * program is the second person.
     *
     * @return the records that name an item of it, the newest first
     */
    private List<InventedRecord> enterKit(Site site, List<List<InventedRecord>> records) {
        Optional<Integer> keeper = people.actor(Role.KIT_KEEPER.code());
        if (keeper.isEmpty() || !kit.isEmpty(site)) {
            return List.of();
        }
        List<InventedRecord> latest = new ArrayList<>();
        records.forEach(latest::addAll);
        Collections.reverse(latest);
        Acting.Scope scope = new Acting.Scope(keeper.get(), List.of(Role.KIT_KEEPER.code()), false);
        return Acting.as(scope, () -> {
            new InventedKit(
                            kit,
                            site,
                            clock.instant(),
                            work -> Acting.asProgram(() -> {
                                work.run();
                                return true;
                            }))
                    .enter();
            return latest.subList(0, InventedKit.label(latest));
        });
    }

    private void addSetups(Site site, UnitPlan unit) {
        Set<String> there = setups.all(site).stream().map(DeviceSetup::id).collect(Collectors.toSet());
        for (SetupPlan setup : unit.setups()) {
            if (!there.contains(setup.id())) {
                setups.add(setup.json(unit.code()));
            }
        }
    }

    /** The change that the records of the unit were drawn with. */
    private void addChange(Site site, UnitPlan unit) {
        int monthsAgo = unit.change().monthsAgo();
        if (monthsAgo > 0 && changes.of(site).isEmpty()) {
            YearMonth began =
                    YearMonth.from(clock.instant().atZone(site.zone())).minusMonths(monthsAgo);
            changes.add(Scenario.CHANGE
                    .deepCopy()
                    .put("site_id", site.code())
                    .put("changed_on", began.atDay(1).toString()));
        }
    }

    private int take(List<InventedRecord> month) {
        Map<String, ObjectNode> bodies = new LinkedHashMap<>();
        month.forEach(record -> bodies.put(record.sourceRow(), record.body()));
        try {
            return encounters.takeAll(bodies);
        } catch (Problem.Invalid | Problem.Malformed problem) {
            throw new IllegalStateException("an invented record is not accepted: " + problem.faults(), problem);
        }
    }
}
