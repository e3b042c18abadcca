package airway.registry.changes;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** What the units changed and when. Nothing is overwritten: putting right and withdrawing add a version with a reason. */
@Component
public class Changes {
    private final ActorTransactions transactions;
    private final Clock clock;

    Changes(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /** The changes of a unit that stand, in order of their days. */
    public List<Change> of(Site site) {
        return transactions.read(dsl -> of(dsl, site));
    }

    /** The same inside a running transaction. */
    public static List<Change> of(DSLContext dsl, Site site) {
        return new ChangeQuery(dsl).all(site, false).stream().map(Kept::change).toList();
    }

    /** The changes that stand, or those that were withdrawn, with the version that counts. */
    List<Kept> all(Site site, boolean withdrawn) {
        return transactions.read(dsl -> new ChangeQuery(dsl).all(site, withdrawn));
    }

    /**
     * Keeps a change. One that says the same as a change that stands is that change: sending twice keeps it once.
     *
     * @param body {@code {site_id?, changed_on, name, reason, cuts_chart}}
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     * @throws Problem.Conflict if the unit has another change of this day and name
     */
    public Change add(JsonNode body) {
        return keep(body).change();
    }

    Kept keep(JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.inBody(dsl, body);
            Change change = ChangeForm.read(body, today(site));
            ChangeStore store = new ChangeStore(dsl);
            store.hold(site);
            Optional<Kept> there = namesake(dsl, site, change);
            if (there.isPresent()) {
                return there.filter(kept -> kept.change().saysAs(change)).orElseThrow(Changes::twice);
            }
            store.insert(new Kept(site, change, 1, "final", null, clock.instant()));
            return newest(dsl, change.id());
        });
    }

    /**
     * The version that counts.
     *
     * @throws Problem.Missing if there is no such change in the units of the one who asks
     */
    Kept read(UUID id) {
        return transactions.read(dsl -> newest(dsl, id));
    }

    /**
     * All versions, the first one first.
     *
     * @throws Problem.Missing if there is no such change in the units of the one who asks
     */
    List<Kept> versions(UUID id) {
        return transactions.read(dsl -> versions(dsl, id));
    }

    /**
     * Makes the next version of a change; the earlier ones stay readable.
     *
     * @param seen the version that the one who amends has read
     * @param body the whole change anew, with {@code amendment: {reason_code, reason_text?}}
     * @throws Problem.Stale if another version counts by now
     * @throws Problem.Conflict if the change was withdrawn
     * @throws Problem as {@link #add}
     */
    Kept amend(UUID id, int seen, JsonNode body) {
        return next(id, seen, (dsl, before) -> {
            ChangeForm.Amended amended = ChangeForm.amended(body, before, today(before.site()));
            if (namesake(dsl, before.site(), amended.change()).isPresent()) {
                throw twice();
            }
            return before.next(amended.change(), "amended", amended.amendment());
        });
    }

    /**
     * Withdraws a change that should not be there: charts no longer show it, and it stays readable.
     *
     * @param body {@code {reason_code, reason_text?}}
     * @throws Problem.Conflict if it was withdrawn before
     * @throws Problem.Invalid without a reason that fits
     */
    Kept withdraw(UUID id, JsonNode body) {
        Amendment amendment = ChangeForm.withdrawal(body);
        return next(id, null, (dsl, before) -> before.next(before.change(), Kept.WITHDRAWN, amendment));
    }

    /** How a next version is made. */
    private interface Making {
        Kept version(DSLContext dsl, Kept before);
    }

    private Kept next(UUID id, @Nullable Integer seen, Making make) {
        return transactions.write(dsl -> {
            ChangeStore store = new ChangeStore(dsl);
            store.hold(newest(dsl, id).site());
            Kept before = newest(dsl, id);
            if (seen != null && seen != before.version()) {
                throw new Problem.Stale("\"v" + before.version() + "\"");
            }
            if (before.withdrawn()) {
                throw new Problem.Conflict("The change was withdrawn; note it anew.", List.of());
            }
            store.insert(make.version(dsl, before));
            return newest(dsl, id);
        });
    }

    private static Optional<Kept> namesake(DSLContext dsl, Site site, Change change) {
        return new ChangeQuery(dsl)
                .all(site, false).stream()
                        .filter(kept -> !kept.change().id().equals(change.id())
                                && kept.change().on().equals(change.on())
                                && kept.change().name().equals(change.name()))
                        .findFirst();
    }

    private static Problem.Conflict twice() {
        return new Problem.Conflict(
                "The unit has a change of this day and name already.",
                List.of(Fault.at("/name", "change.there", "Put right the one that is there, or give another name.")));
    }

    private static Kept newest(DSLContext dsl, UUID id) {
        List<Kept> versions = versions(dsl, id);
        return versions.get(versions.size() - 1);
    }

    private static List<Kept> versions(DSLContext dsl, UUID id) {
        List<Kept> versions = new ChangeQuery(dsl).versions(id);
        if (versions.isEmpty()) {
            throw new Problem.Missing("change");
        }
        return versions;
    }

    /** The present day of a unit. */
    LocalDate today(Site site) {
        return LocalDate.ofInstant(clock.instant(), site.zone());
    }
}
