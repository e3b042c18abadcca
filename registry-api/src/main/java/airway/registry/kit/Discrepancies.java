package airway.registry.kit;

import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.Clock;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** What the kit keeper has to look into, because records said so. */
@Component
class Discrepancies {
    private final ActorTransactions transactions;
    private final Clock clock;

    Discrepancies(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /** Those of a unit that are open, the oldest first. */
    List<Discrepancy> open(Site site) {
        return transactions.read(dsl -> new DiscrepancyRows(dsl).open(site));
    }

    /**
     * All that the page shows.
     *
     * @param open the oldest first
     * @param ended the last that ended, the newest first
     * @param mayReadRecords whether the one who looks may open the records
     */
    record Shown(List<Discrepancy> open, List<Discrepancy> ended, boolean mayReadRecords) {}

    Shown shown(Site site) {
        return transactions.read(dsl -> {
            DiscrepancyRows rows = new DiscrepancyRows(dsl);
            return new Shown(rows.open(site), rows.ended(site), Sites.may(dsl, site.no(), Right.READ_RECORDS));
        });
    }

    /**
     * One of them.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Discrepancy read(UUID id) {
        return transactions.read(
                dsl -> new DiscrepancyRows(dsl).find(id).orElseThrow(() -> new Problem.Missing("discrepancy")));
    }

    /**
     * Closes one with a reason, and a label that named nothing with the item or lot it was.
     *
     * @param body {@code {reason, label?}}
     * @throws Problem.Missing if there is none in the units of the one who asks
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid without a reason
     * @throws Problem.Conflict if it has ended before
     */
    Discrepancy close(UUID id, JsonNode body) {
        return transactions.write(dsl -> {
            DiscrepancyRows rows = new DiscrepancyRows(dsl);
            Site site = rows.find(id)
                    .orElseThrow(() -> new Problem.Missing("discrepancy"))
                    .site();
            new KitStore(dsl).hold(site);
            Discrepancy open = rows.find(id).orElseThrow();
            if (open.end() != null) {
                throw new Problem.Conflict(
                        open.lapsed()
                                ? "The record no longer says so; nothing is left to close."
                                : "Somebody has closed it before.",
                        List.of());
            }
            JsonFields fields = JsonFields.of(body, Set.of("reason", "label"));
            String reason = fields.needed(
                    "reason", fields.text("reason", MoveForm.LONGEST_REASON), "Write what was found and done.");
            String label = fields.text("label", ItemForm.LONGEST_LABEL);
            if (label != null && open.kind() != Discrepancy.Kind.ITEM_UNKNOWN) {
                fields.fault("label", "not_asked", "Here the item is known; leave this out.");
            }
            fields.check();
            String why = Objects.requireNonNull(reason);
            if (label == null) {
                rows.end(open, why, null, null);
            } else if (!KitOfRecord.link(dsl, open, label, why, rows.start(open), clock.instant())) {
                throw new Problem.Invalid(Fault.at(
                        "/label",
                        "label.unknown",
                        "No item and no lot of the unit has this label; enter it first, or leave this out."));
            }
            return rows.find(id).orElseThrow();
        });
    }
}
