package airway.registry.encounter;

import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.identity.HospitalNumbers;
import airway.registry.kit.KitOfRecord;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.function.Function;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.ObjectProvider;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/** Records of intubations: made once, read again. */
@Component
public class Encounters {
    /** What a key of a new record is taken for. */
    static final String RECORD = "record";

    private final ActorTransactions transactions;
    private final DeviceSetups setups;
    private final Clock clock;
    private final ObjectProvider<HospitalNumbers> numbers;

    Encounters(
            ActorTransactions transactions, DeviceSetups setups, Clock clock, ObjectProvider<HospitalNumbers> numbers) {
        this.numbers = numbers;
        this.transactions = transactions;
        this.setups = setups;
        this.clock = clock;
    }

    /**
     * Keeps a new record, or answers again what the same key was answered before.
     *
     * @param body the record as JSON, with an optional {@code site_id}
     * @throws Problem.Malformed if it names what does not exist
     * @throws Problem.Invalid with every fault, if an answer is wrong, or odd and not confirmed
     * @throws Problem.Busy if the same key is being worked on at this moment
     */
    public Recorded record(JsonNode body, IdempotencyKey key) {
        return record(body, key, Beside.NOTHING);
    }

    /** The same with something that is kept beside the record, or not kept either. */
    Recorded record(JsonNode body, IdempotencyKey key, Beside beside) {
        return once(key, body, beside, dsl -> {
            Site site = Sites.inBody(dsl, body);
            Map<String, DeviceSetup> ofSite = setups.ofSite(dsl, site);
            Encounter encounter = EncounterForm.read(body, ofSite, circumstances(dsl, site));
            EncounterStore.Version first = EncounterStore.Version.first(now(), encounter, null);
            new EncounterStore(dsl, site).insert(List.of(first));
            tellKit(dsl, site, first);
            return new EncounterQuery(dsl).load(site, first.id(), 1, ofSite);
        });
    }

    /** Does what is asked under a key once: asked again, the first answer is given again. Ends the draft of the key. */
    private Recorded once(IdempotencyKey key, JsonNode body, Beside beside, Function<DSLContext, Recorded> doing) {
        String fingerprint = Fingerprint.of(body);
        return transactions.write(dsl -> {
            EncounterQuery query = new EncounterQuery(dsl);
            if (!query.take(RECORD, key)) {
                throw new Problem.Busy(IdempotencyKey.HEADER);
            }
            Optional<EncounterQuery.Answered> earlier = query.answered(RECORD, key);
            if (earlier.isPresent()) {
                return again(dsl, earlier.get(), fingerprint, beside);
            }
            Recorded recorded = doing.apply(dsl);
            beside.keep(dsl, recorded.id());
            EncounterStore store = new EncounterStore(dsl, recorded.site());
            store.remember(RECORD, key, fingerprint, recorded.id(), recorded.version());
            store.endDraft(key);
            return recorded;
        });
    }

    /**
     * Keeps the records of many rows of a source in one transaction: all of them, or none; odd answers as confirmed.
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
            Site site = Sites.inBody(dsl, bodies.values().iterator().next());
            Set<String> before = takenBefore(dsl, site, bodies.keySet());
            Map<String, DeviceSetup> ofSite = setups.ofSite(dsl, site);
            Circumstances circumstances = circumstances(dsl, site).vouching(variable -> true);
            List<Judged> records = new ArrayList<>();
            bodies.forEach((sourceRow, body) -> {
                if (!body.path("site_id").asString("").equals(site.code())) {
                    throw new IllegalArgumentException(sourceRow + " is of another unit");
                }
                if (!before.contains(sourceRow)) {
                    records.add(judge(body, sourceRow, ofSite, circumstances));
                }
            });
            return keep(dsl, site, records).size();
        });
    }

    /**
     * Judges the record of a row of a source like a new record. Rows have no place for drugs, so doses are not compared
     * with what the unit usually gives.
     *
     * @param ofSite the set-ups it may name, by key
     * @param vouched variables whose odd answers somebody has looked at: they are kept as confirmed
     * @throws Problem as {@link #record}
     */
    public Judged judge(JsonNode body, String sourceRow, Map<String, DeviceSetup> ofSite, Set<String> vouched) {
        Circumstances circumstances = Circumstances.sent(clock.instant(), Doses.NONE);
        return judge(body, sourceRow, ofSite, circumstances.vouching(vouched::contains));
    }

    private static Judged judge(
            JsonNode body, String sourceRow, Map<String, DeviceSetup> ofSite, Circumstances circumstances) {
        return new Judged(EncounterForm.read(body, ofSite, circumstances), sourceRow);
    }

    /** Those of the rows of a source that a record was made from before, inside a running transaction. */
    public Set<String> takenBefore(DSLContext dsl, Site site, Collection<String> sourceRows) {
        return new EncounterQuery(dsl).fromSource(site, sourceRows);
    }

    /**
     * Keeps records that were judged, inside a running transaction: table by table, so that many cost little more than
     * one. None of the rows may have been taken before.
     *
     * @return the new records' keys by row of the source
     */
    public Map<String, UUID> keep(DSLContext dsl, Site site, List<Judged> records) {
        Map<String, UUID> kept = new LinkedHashMap<>();
        List<EncounterStore.Version> versions = new ArrayList<>();
        for (Judged record : records) {
            EncounterStore.Version first = EncounterStore.Version.first(now(), record.encounter(), record.sourceRow());
            versions.add(first);
            kept.put(record.sourceRow(), first.id());
        }
        if (!versions.isEmpty()) {
            new EncounterStore(dsl, site).insert(versions);
        }
        return kept;
    }

    /**
     * The current version of a record.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    public Recorded read(UUID id) {
        return transactions.read(dsl -> read(dsl, id));
    }

    private Recorded read(DSLContext dsl, UUID id) {
        EncounterQuery query = new EncounterQuery(dsl);
        EncounterQuery.Current current = query.current(id).orElseThrow(() -> new Problem.Missing("record"));
        Site site = site(dsl, current.siteId());
        return query.load(site, id, current.version(), setups.ofSite(dsl, site));
    }

    /**
     * Makes the next version of a record; the earlier ones stay readable.
     *
     * @param seen the version that the one who amends has read
     * @param body the whole record anew, with {@code amendment: {reason_code, reason_text?}}
     * @throws Problem.Stale if another version counts by now
     * @throws Problem.Conflict if the record was withdrawn
     * @throws Problem as {@link #record}
     */
    public Recorded amend(UUID id, int seen, JsonNode body) {
        return transactions.write(dsl -> amend(dsl, id, seen, body));
    }

    /**
     * The same under a key: a second tap is answered with the version that the first one made, and a draft ends.
     *
     * @throws Problem.Busy if the same key is being worked on at this moment
     */
    Recorded amend(UUID id, int seen, JsonNode body, IdempotencyKey key, Beside beside) {
        return once(key, body, beside, dsl -> amend(dsl, id, seen, body));
    }

    /**
     * Keeps what stands beside a record when nothing of the record itself changes: no version is made.
     *
     * @param body the record as it is, for a second tap
     */
    Recorded keepBeside(UUID id, JsonNode body, IdempotencyKey key, Beside beside) {
        return once(key, body, beside, dsl -> read(dsl, id));
    }

    private Recorded amend(DSLContext dsl, UUID id, int seen, JsonNode body) {
        return next(dsl, id, seen, (before, ofSite, circumstances) -> {
            JsonNode record = body.deepCopy();
            if (record instanceof ObjectNode object) {
                object.remove("amendment");
            }
            if (!record.path("site_id")
                    .asString(before.site().code())
                    .equals(before.site().code())) {
                throw new Problem.Invalid(
                        Fault.at("/site_id", "site.other", "A record stays with its unit; leave this out."));
            }
            Reason reason = ReasonForm.read(body.path("amendment"), "/amendment", Reason.Code.TO_AMEND);
            Encounter encounter = EncounterForm.read(record, ofSite, circumstances.amending(before.encounter()));
            withoutNumber(dsl, id, encounter);
            return version(before, "amended", encounter, reason);
        });
    }

    /** A number scanned from the child's band in place of an item's label must not come among what the kit keeper sees. */
    private void withoutNumber(DSLContext dsl, UUID id, Encounter encounter) {
        HospitalNumbers kept = numbers.getIfAvailable();
        List<Course> courses = encounter.courses();
        for (int i = 0; i < courses.size(); i++) {
            List<Answers> attempts = courses.get(i).attempts();
            for (int j = 0; j < attempts.size(); j++) {
                List<String> labels = attempts.get(j).list("kit_labels");
                if (kept != null && !labels.isEmpty() && kept.isAmong(dsl, id, labels)) {
                    throw new Problem.Invalid(Fault.at(
                            "/courses/" + i + "/attempts/" + j + "/kit_labels",
                            "number.open",
                            "This is the hospital number of the child: take it out, and scan the item."));
                }
            }
        }
    }

    /**
     * Withdraws a record that should not be there: it no longer counts anywhere, and stays readable.
     *
     * @param body {@code {reason_code, reason_text?}}
     * @throws Problem.Conflict if it was withdrawn before
     * @throws Problem.Invalid without a reason that fits
     */
    public Recorded withdraw(UUID id, JsonNode body) {
        Reason reason = ReasonForm.read(body, "", Reason.Code.TO_WITHDRAW);
        return transactions.write(dsl -> next(
                dsl,
                id,
                null,
                (before, ofSite, circumstances) -> version(before, "entered-in-error", before.encounter(), reason)));
    }

    /** How a next version is made. */
    private interface Making {
        EncounterStore.Version version(Recorded before, Map<String, DeviceSetup> ofSite, Circumstances circumstances);
    }

    /** Makes the next version out of the one that counts; a record is held while this is done. */
    private Recorded next(DSLContext dsl, UUID id, @Nullable Integer seen, Making make) {
        EncounterQuery query = new EncounterQuery(dsl);
        EncounterQuery.Current current = query.hold(id).orElseThrow(() -> new Problem.Missing("record"));
        if (seen != null && seen != current.version()) {
            throw new Problem.Stale("\"v" + current.version() + "\"");
        }
        Site site = site(dsl, current.siteId());
        Map<String, DeviceSetup> ofSite = setups.ofSite(dsl, site);
        Recorded before = query.load(site, id, current.version(), ofSite);
        if (before.status().equals("entered-in-error")) {
            throw new Problem.Conflict("The record was withdrawn; make a new one.", List.of());
        }
        if (!mayPutRight(dsl, query, site, id)) {
            throw new Problem.NotAllowed("Whoever recorded it can put it right, and an improvement lead of the unit;"
                    + " tell them what should be changed.");
        }
        EncounterStore.Version next = make.version(before, ofSite, circumstances(dsl, site));
        new EncounterStore(dsl, site).append(next);
        tellKit(dsl, site, next);
        return query.load(site, id, next.number(), ofSite);
    }

    /**
     * Tells the kit what records of a source say of it: for those that are no history.
     *
     * @param sourceRows keys of the rows; all of the unit
     */
    public void tellKit(Site site, Collection<String> sourceRows) {
        transactions.write(dsl -> {
            EncounterQuery query = new EncounterQuery(dsl);
            Map<String, DeviceSetup> ofSite = setups.ofSite(dsl, site);
            for (UUID id : query.idsFromSource(site, sourceRows)) {
                Recorded recorded = query.load(site, id, 1, ofSite);
                tellKit(dsl, site, version(recorded, recorded.status(), recorded.encounter(), null));
            }
            return true;
        });
    }

    /** What the record says of the kit; a record that was withdrawn says nothing. Old records of a source tell nothing. */
    private void tellKit(DSLContext dsl, Site site, EncounterStore.Version version) {
        Encounter encounter = version.encounter();
        List<KitOfRecord.Attempt> said = new ArrayList<>();
        for (Answers attempt :
                version.status().equals("entered-in-error") ? List.<Answers>of() : encounter.attempts()) {
            said.add(new KitOfRecord.Attempt(
                    said.size() + 1,
                    attempt.list("kit_labels"),
                    attempt.list("kit_issue").stream()
                            .filter(issue -> !issue.equals("none"))
                            .toList(),
                    attempt.is("footage_recorded", "yes")));
        }
        Instant start = (Instant) encounter.answers().value("encounter_start").orElseThrow();
        KitOfRecord.told(dsl, site, version.id(), version.number() == 1, start, now(), said);
    }

    /** Whether the one who asks may put this record right or withdraw it: their own, or any as an improvement lead. */
    boolean mayPutRight(Recorded recorded) {
        return transactions.read(dsl -> mayPutRight(dsl, new EncounterQuery(dsl), recorded.site(), recorded.id()));
    }

    private static boolean mayPutRight(DSLContext dsl, EncounterQuery query, Site site, UUID id) {
        return Sites.may(dsl, site.no(), Right.AMEND_ANY)
                || (Sites.may(dsl, site.no(), Right.AMEND_OWN) && query.recordedByActor(site, id));
    }

    private static EncounterStore.Version version(
            Recorded before, String status, Encounter encounter, @Nullable Reason reason) {
        return new EncounterStore.Version(
                before.id(), before.version() + 1, status, before.recordedAt(), encounter, null, reason);
    }

    /**
     * A version of a record as it was.
     *
     * @throws Problem.Missing if there is none
     */
    public Recorded read(UUID id, int version) {
        return transactions.read(dsl -> {
            EncounterQuery query = new EncounterQuery(dsl);
            EncounterQuery.Current current = query.current(id)
                    .filter(now -> version >= 1 && version <= now.version())
                    .orElseThrow(() -> new Problem.Missing("version"));
            Site site = site(dsl, current.siteId());
            return query.load(site, id, version, setups.ofSite(dsl, site));
        });
    }

    /**
     * All versions of a record in short, the first one first.
     *
     * @throws Problem.Missing if there is no such record
     */
    public List<VersionLine> versions(UUID id) {
        return transactions.read(dsl -> {
            List<VersionLine> lines = new EncounterQuery(dsl).versions(id);
            if (lines.isEmpty()) {
                throw new Problem.Missing("record");
            }
            return lines;
        });
    }

    /** The record that was saved under a key, if one was. */
    Optional<UUID> savedUnder(IdempotencyKey key) {
        return transactions.read(
                dsl -> new EncounterQuery(dsl).answered(RECORD, key).map(EncounterQuery.Answered::id));
    }

    /** Earlier uses of the unit's set-ups by the one who acts, by key of the set-up. */
    Map<String, EarlierUses> earlierUses(Site site) {
        return transactions.read(dsl -> new EncounterQuery(dsl).earlierUses(site));
    }

    /** How many records a unit has. */
    public int count(Site site) {
        return transactions.read(dsl -> new EncounterQuery(dsl).count(site));
    }

    private Recorded again(DSLContext dsl, EncounterQuery.Answered earlier, String fingerprint, Beside beside) {
        if (!earlier.fingerprint().equals(fingerprint) || !beside.isKept(dsl, earlier.id())) {
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

    private Circumstances circumstances(DSLContext dsl, Site site) {
        return Circumstances.sent(clock.instant(), new DoseQuery(dsl, site));
    }

    private Instant now() {
        return clock.instant().truncatedTo(ChronoUnit.MICROS);
    }
}
