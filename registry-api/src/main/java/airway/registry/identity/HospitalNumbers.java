package airway.registry.identity;

import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.keys.Keys;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.nio.charset.StandardCharsets;
import java.util.Base64;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/**
 * Hospital numbers of the children of records: encrypted, found by a keyed hash within their unit, and every look, search
 * and erasure in the audit.
 */
@Component
@ConditionalOnWebApplication
public class HospitalNumbers {
    private final ActorTransactions transactions;
    private final Keys keys;
    private final KeepFor keepFor;
    private final List<TypedInRecord> elsewhere;

    HospitalNumbers(ActorTransactions transactions, Keys keys, KeepFor keepFor, List<TypedInRecord> elsewhere) {
        this.transactions = transactions;
        this.keys = keys;
        this.keepFor = keepFor;
        this.elsewhere = List.copyOf(elsewhere);
    }

    /**
     * Keeps the number of a record, in place of an earlier one, inside a running transaction.
     *
     * @throws Problem.Missing if there is no such record
     * @throws Problem.Invalid if the record is so old that its number would be erased at once, or if the number stands
     *     openly in the record
     */
    public void keep(DSLContext dsl, UUID id, HospitalNumber number) {
        HospitalNumberStore store = new HospitalNumberStore(dsl);
        HospitalNumberStore.Of record = record(store, id);
        if (record.recordedAt().isBefore(keepFor.begin())) {
            throw new Problem.Invalid(Fault.at(
                    "/" + HospitalNumberForm.NUMBER,
                    "number.late",
                    "Hospital numbers are kept for " + keepFor.words()
                            + " after a record was made, and this one is older: leave it out."));
        }
        for (TypedInRecord one : elsewhere) {
            if (one.typed(dsl, id).stream().anyMatch(number::in)) {
                throw new Problem.Invalid(Fault.at(
                        "/" + HospitalNumberForm.NUMBER,
                        "number.open",
                        "This number stands in the record, among the labels of its items: take it out there first."));
            }
        }
        byte[] sealed = keys.seal(place(record.site(), id), number.bytes());
        store.put(record.site(), id, sealed, keys.lookup(Keys.number(sealed), space(record.site()), number.normal()));
        store.note("kept", record.site(), List.of(id), null);
    }

    /** Takes the number of a record out, inside a running transaction; nothing happens where there is none. */
    public void takeOut(DSLContext dsl, UUID id) {
        HospitalNumberStore store = new HospitalNumberStore(dsl);
        HospitalNumberStore.Of record = record(store, id);
        if (store.erase(record.site(), id)) {
            store.note("erased", record.site(), List.of(id), "taken_out");
        }
    }

    /** Whether a record has this number, inside a running transaction. */
    public boolean has(DSLContext dsl, UUID id, HospitalNumber number) {
        HospitalNumberStore store = new HospitalNumberStore(dsl);
        return store.record(id)
                .filter(record -> store.has(record.site(), id, lookups(record.site(), number)))
                .isPresent();
    }

    /** Whether one of these texts is the number that is kept with a record, inside a running transaction. */
    public boolean isAmong(DSLContext dsl, UUID id, List<String> texts) {
        return texts.stream()
                .filter(text -> HospitalNumber.fault(text) == null)
                .anyMatch(text -> has(dsl, id, HospitalNumber.of(text)));
    }

    /** Whether a number is kept with a record. */
    public boolean kept(Site site, UUID id) {
        return transactions.read(dsl -> new HospitalNumberStore(dsl).kept(site.no(), id));
    }

    /**
     * Keeps, changes or takes out the number of a record.
     *
     * @param body {@code {hospital_number}}; null takes it out
     * @return whether one is kept now
     * @throws Problem as {@link #keep}, and if it is no number
     * @throws Problem.NotAllowed for a colleague's record, unless as an improvement lead
     */
    boolean put(UUID id, JsonNode body) {
        HospitalNumber number = HospitalNumberForm.change(body);
        return transactions.write(dsl -> {
            HospitalNumberStore.Of record = record(new HospitalNumberStore(dsl), id);
            if (!Sites.may(dsl, record.site(), Right.AMEND_ANY)
                    && !(record.own() && Sites.may(dsl, record.site(), Right.AMEND_OWN))) {
                throw new Problem.NotAllowed("Whoever made the record can set its hospital number, and an improvement"
                        + " lead of the unit.");
            }
            if (number == null) {
                takeOut(dsl, id);
            } else {
                keep(dsl, id, number);
            }
            return number != null;
        });
    }

    /**
     * Shows the number of a record, and says so in the audit.
     *
     * @param body {@code {reason_code, reason_text?}}
     * @throws Problem.Missing if there is no such record, or no number is kept with it
     * @throws Problem.Invalid without a reason that fits
     * @throws IllegalStateException if what is kept does not open
     */
    HospitalNumber look(UUID id, JsonNode body) {
        Purpose why = HospitalNumberForm.look(body);
        return transactions.write(dsl -> {
            HospitalNumberStore store = new HospitalNumberStore(dsl);
            short site = record(store, id).site();
            byte[] sealed =
                    store.sealed(site, id).orElseThrow(() -> new Problem.Missing("hospital number with this record"));
            HospitalNumber number = HospitalNumber.read(keys.open(place(site, id), sealed));
            HospitalNumberForm.withoutNumber(why, number, body);
            store.note("seen", site, List.of(id), why.words());
            return number;
        });
    }

    /**
     * The records of one child in a unit, the latest intubation first; the search goes into the audit, found or not.
     *
     * @param body {@code {hospital_number}}
     * @throws Problem.Invalid without a number
     */
    List<HospitalNumberStore.Of> find(Site site, JsonNode body) {
        HospitalNumber number = HospitalNumberForm.asked(body);
        return transactions.write(dsl -> {
            HospitalNumberStore store = new HospitalNumberStore(dsl);
            List<HospitalNumberStore.Of> found = store.find(site.no(), lookups(site.no(), number));
            store.noteSearch(site.no(), found.size());
            return found;
        });
    }

    /**
     * The records of one child in a unit for a look-back, inside a running transaction; the search goes into the audit.
     *
     * @throws IllegalArgumentException if it is no number, or the reason has it in it
     */
    public List<UUID> records(DSLContext dsl, Site site, String typed, String reason) {
        HospitalNumber number = HospitalNumber.of(typed);
        if (number.in(reason)) {
            throw new IllegalArgumentException("the reason names a child");
        }
        HospitalNumberStore store = new HospitalNumberStore(dsl);
        List<UUID> found = store.find(site.no(), lookups(site.no(), number)).stream()
                .filter(record -> !record.withdrawn())
                .map(HospitalNumberStore.Of::id)
                .toList();
        store.noteSearch(site.no(), found.size());
        return found;
    }

    /**
     * The numbers of the records of a look-back, inside a running transaction; each goes into the audit as seen.
     *
     * @return by record; those without a number are left out
     * @throws IllegalStateException if what is kept does not open
     */
    public Map<UUID, String> lookBack(DSLContext dsl, Site site, Collection<UUID> records, String reason) {
        HospitalNumberStore store = new HospitalNumberStore(dsl);
        Map<UUID, String> numbers = new HashMap<>();
        store.sealed(site.no(), records)
                .forEach((id, kept) -> numbers.put(
                        id,
                        HospitalNumber.read(keys.open(place(site.no(), id), kept))
                                .shown()));
        store.note(
                "seen", site.no(), List.copyOf(numbers.keySet()), new Purpose(Purpose.Code.LOOK_BACK, reason).words());
        return numbers;
    }

    /**
     * Erases a child's number from all records of a unit; the records stay.
     *
     * @return how many had it
     */
    int erase(Site site, HospitalNumberForm.Erasure erasure) {
        return transactions.write(dsl -> {
            HospitalNumberStore store = new HospitalNumberStore(dsl);
            List<UUID> erased = store.erase(site.no(), lookups(site.no(), erasure.number()));
            store.note("erased", site.no(), erased, erasure.why().words());
            return erased.size();
        });
    }

    /** What was typed as a form may carry it from one page to the next without showing it: sealed for its unit. */
    public String covered(Site site, String typed) {
        return Base64.getEncoder().encodeToString(keys.seal(form(site), typed.getBytes(StandardCharsets.UTF_8)));
    }

    /** What {@link #covered} has made; empty where it was made for another unit, changed, or its key is gone. */
    public Optional<String> uncovered(Site site, String covered) {
        try {
            return Optional.of(
                    new String(keys.open(form(site), Base64.getDecoder().decode(covered)), StandardCharsets.UTF_8));
        } catch (IllegalArgumentException | IllegalStateException e) {
            return Optional.empty();
        }
    }

    private static HospitalNumberStore.Of record(HospitalNumberStore store, UUID id) {
        return store.record(id).orElseThrow(() -> new Problem.Missing("record"));
    }

    private List<byte[]> lookups(short site, HospitalNumber number) {
        return keys.lookups(space(site), number.normal());
    }

    /** The place of a row. */
    static String place(short site, UUID id) {
        return "identity.hospital_number|" + site + "|" + id;
    }

    /** What hashes are made for: the same number in two units has two hashes, so nobody can join units by them. */
    static String space(short site) {
        return "identity.hospital_number|" + site;
    }

    private static String form(Site site) {
        return "form|hospital_number|" + site.no();
    }
}
