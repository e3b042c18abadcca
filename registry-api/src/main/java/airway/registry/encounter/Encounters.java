package airway.registry.encounter;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import org.jooq.DSLContext;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** Records of intubations: made once, read again. */
@Component
public class Encounters {
    private static final String RECORD = "record";

    private final ActorTransactions transactions;
    private final DeviceSetups setups;
    private final Clock clock;

    Encounters(ActorTransactions transactions, DeviceSetups setups, Clock clock) {
        this.transactions = transactions;
        this.setups = setups;
        this.clock = clock;
    }

    /**
     * Keeps a new record, or answers again what the same key was answered before.
     *
     * @param body the record as JSON, with an optional {@code site_id}
     * @throws Problem.Malformed if it names what does not exist
     * @throws Problem.Invalid with every fault, if a value is wrong or unlikely and not confirmed
     * @throws Problem.Conflict if the same key is being worked on at this moment
     */
    public Recorded record(JsonNode body, IdempotencyKey key) {
        String fingerprint = Fingerprint.of(body);
        return transactions.write(dsl -> {
            EncounterQuery query = new EncounterQuery(dsl);
            if (!query.take(RECORD, key)) {
                throw new Problem.Conflict(
                        "The same record is being saved at this moment; ask again in a second.", List.of());
            }
            Optional<EncounterQuery.Answered> earlier = query.answered(RECORD, key);
            if (earlier.isPresent()) {
                return again(dsl, earlier.get(), fingerprint);
            }
            Site site = site(dsl, body);
            Map<String, DeviceSetup> ofSite = setups.ofSite(dsl, site);
            Encounter encounter = EncounterForm.read(body, ofSite, clock.instant());
            UUID id = UUID.randomUUID();
            EncounterStore store = new EncounterStore(dsl, site);
            store.insert(List.of(new EncounterStore.New(id, encounter, null)), now());
            store.remember(RECORD, key, fingerprint, id, 1);
            return query.load(site, id, 1, ofSite);
        });
    }

    /**
     * Keeps the record of one row of a source, once.
     *
     * @param sourceRow name of the source and key of the row
     * @return the new record's key, or empty when the row was taken before
     * @throws Problem as {@link #record}
     */
    public Optional<UUID> take(JsonNode body, String sourceRow) {
        return transactions.write(dsl -> {
            Site site = site(dsl, body);
            if (new EncounterQuery(dsl).fromSource(site, sourceRow).isPresent()) {
                return Optional.empty();
            }
            Encounter encounter = EncounterForm.read(body, setups.ofSite(dsl, site), clock.instant());
            UUID id = UUID.randomUUID();
            new EncounterStore(dsl, site).insert(List.of(new EncounterStore.New(id, encounter, sourceRow)), now());
            return Optional.of(id);
        });
    }

    /**
     * Keeps the records of many rows of a source in one transaction: all of them, or none.
     *
     * @param bodies by name of the source and key of the row; all of one unit
     * @return how many were new
     * @throws Problem as {@link #record}, for the first that is not accepted
     */
    public int takeAll(Map<String, ? extends JsonNode> bodies) {
        if (bodies.isEmpty()) {
            return 0;
        }
        return transactions.write(dsl -> {
            Site site = site(dsl, bodies.values().iterator().next());
            Set<String> before = new EncounterQuery(dsl).fromSource(site, bodies.keySet());
            Map<String, DeviceSetup> ofSite = setups.ofSite(dsl, site);
            List<EncounterStore.New> records = new ArrayList<>();
            bodies.forEach((sourceRow, body) -> {
                if (!body.path("site_id").asString("").equals(site.code())) {
                    throw new IllegalArgumentException(sourceRow + " is of another unit");
                }
                if (!before.contains(sourceRow)) {
                    Encounter encounter = EncounterForm.read(body, ofSite, clock.instant());
                    records.add(new EncounterStore.New(UUID.randomUUID(), encounter, sourceRow));
                }
            });
            if (!records.isEmpty()) {
                new EncounterStore(dsl, site).insert(records, now());
            }
            return records.size();
        });
    }

    /**
     * The current version of a record.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    public Recorded read(UUID id) {
        return transactions.read(dsl -> {
            EncounterQuery query = new EncounterQuery(dsl);
            EncounterQuery.Current current = query.current(id).orElseThrow(() -> new Problem.Missing("record"));
            Site site = site(dsl, current.siteId());
            return query.load(site, id, current.version(), setups.ofSite(dsl, site));
        });
    }

    /** How many records a unit has. */
    public int count(Site site) {
        return transactions.read(dsl -> new EncounterQuery(dsl).count(site));
    }

    private Recorded again(DSLContext dsl, EncounterQuery.Answered earlier, String fingerprint) {
        if (!earlier.fingerprint().equals(fingerprint)) {
            throw new Problem.Invalid(Fault.parameter(
                    IdempotencyKey.HEADER,
                    "key.reused",
                    "This key was used for another record: take a new key for each record."));
        }
        Site site = site(dsl, earlier.siteId());
        return new EncounterQuery(dsl).load(site, earlier.id(), earlier.version(), setups.ofSite(dsl, site));
    }

    private static Site site(DSLContext dsl, short no) {
        return Sites.all(dsl).stream()
                .filter(site -> site.no() == no)
                .findFirst()
                .orElseThrow(() -> new Problem.Missing("unit"));
    }

    /** The unit that a body names in {@code site_id}, or the home unit. */
    static Site site(DSLContext dsl, JsonNode body) {
        JsonNode code = body.path("site_id");
        try {
            return Sites.named(dsl, code.isMissingNode() || code.isNull() ? null : code.asString(""));
        } catch (Problem.Missing e) {
            throw new Problem.Invalid(Fault.at("/site_id", "site.unknown", "Name one of your units, or leave it out."));
        }
    }

    private Instant now() {
        return clock.instant().truncatedTo(ChronoUnit.MICROS);
    }
}
