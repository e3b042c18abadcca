package airway.registry.research;

import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import airway.registry.web.IfMatch;
import airway.stats.disclosure.Generalisation;
import java.time.Clock;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/**
 * Requests for research data: one asks, somebody else says yes or no to exactly what would be made. Nothing is changed; each
 * step is added to the ones before.
 */
@Component
class Requests {
    private final ActorTransactions transactions;
    private final Packages packages;
    private final PackageKeys keys;
    private final Clock clock;

    Requests(ActorTransactions transactions, Packages packages, PackageKeys keys, Clock clock) {
        this.transactions = transactions;
        this.packages = packages;
        this.keys = keys;
        this.clock = clock;
    }

    /**
     * A request with what would be made of it now.
     *
     * @param digest names exactly these data; empty where nothing may be made
     */
    record Looked(DataRequest request, Outlook outlook, String digest) {}

    /**
     * Asks for data.
     *
     * @throws Problem.Malformed with every parameter of the choice that cannot be taken
     * @throws Problem.NeverLeaves if it names what is in no package
     * @throws Problem.ApprovalMissing if there is no approval to stand on
     * @throws Problem.ApprovalExpired if that is over
     * @throws Problem.Recognisable if a child would stand out
     * @throws Problem.TooClose if one would stand out beside what has left before
     * @throws Problem.Invalid if it is not said who will hold the data and what for
     */
    DataRequest ask(Map<String, List<String>> parameters) {
        return transactions.write(dsl -> {
            RequestForm.Asked asked = RequestForm.read(parameters, Sites.all(dsl));
            Site site = asked.choice().cohort().sites().get(0);
            if (asked.terms().expiredOn(today(site))) {
                throw new Problem.ApprovalExpired();
            }
            Judgement.of(dsl, asked.choice(), null).needed();
            RequestStore store = new RequestStore(dsl);
            UUID id = UUID.randomUUID();
            store.insert(id, asked.choice(), asked.terms());
            store.ask(site, id, Acting.current().actor());
            return store.read(id);
        });
    }

    /** All requests of a unit, the newest first. */
    List<DataRequest> all(Site site) {
        return transactions.read(dsl -> new RequestStore(dsl).all(site));
    }

    /**
     * A request as it stands.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    DataRequest read(UUID id) {
        return transactions.read(dsl -> new RequestStore(dsl).read(id));
    }

    /**
     * A request, and what would be made of it now.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Looked look(UUID id) {
        return transactions.read(dsl -> look(dsl, new RequestStore(dsl).read(id)));
    }

    private Looked look(DSLContext dsl, DataRequest request) {
        Judgement judged = Judgement.of(dsl, request.choice(), request.id());
        return new Looked(
                request,
                judged.outlook(),
                judged.found()
                        .map(found -> contents(request, judged, found).digest())
                        .orElse(""));
    }

    private Contents contents(DataRequest request, Judgement judged, Generalisation found) {
        return Contents.of(judged.coarsening(), found, keys.of(request.id(), request.choice()));
    }

    /**
     * Says yes to exactly the data that were looked at.
     *
     * @param seen version of the request that was looked at
     * @param digest of the data that were looked at
     * @param acceptLoss the largest loss of a group in percent, where it is over a tenth
     * @throws Problem.Missing if there is no such request
     * @throws Problem.OwnRequest if it is one's own
     * @throws Problem.RequestEnded if it was refused or withdrawn
     * @throws Problem.Stale if somebody else has taken a step since
     * @throws Problem.ApprovalExpired if the approval it stands on is over
     * @throws Problem.Recognisable if a child would stand out
     * @throws Problem.TooClose if one would stand out beside what has left before
     * @throws Problem.DataChanged if the data are not any more those looked at
     * @throws Problem.LossNotAccepted if a group loses more than a tenth and the figure was not accepted
     */
    DataRequest approve(UUID id, int seen, @Nullable String digest, @Nullable Integer acceptLoss) {
        return transactions.write(dsl -> {
            RequestStore store = new RequestStore(dsl);
            DataRequest request = judged(store, id, seen);
            if (request.terms().expiredOn(today(request.site()))) {
                throw new Problem.ApprovalExpired();
            }
            store.hold(request.site());
            Judgement judged = Judgement.of(dsl, request.choice(), id);
            Generalisation found = judged.needed();
            Contents contents = contents(request, judged, found);
            if (!contents.digest().equals(digest)) {
                throw new Problem.DataChanged();
            }
            Outlook.Plan plan = judged.outlook().plan();
            OptionalInt loss = plan == null ? OptionalInt.empty() : plan.lossToAccept();
            if (loss.isPresent() && !Integer.valueOf(loss.getAsInt()).equals(acceptLoss)) {
                throw new Problem.LossNotAccepted(loss.getAsInt());
            }
            store.approve(
                    request,
                    new Approval(
                            found.levels(),
                            judged.coarsening().rare(),
                            judged.matching(),
                            judged.coarsening().rows().size(),
                            found.removed().size(),
                            loss.isPresent() ? loss.getAsInt() : null,
                            judged.earlier().size(),
                            contents.digest(),
                            clock.instant(),
                            store.head()),
                    judged.coarsening().allowed(),
                    Set.copyOf(found.removed()));
            return store.read(id);
        });
    }

    /** Says no, and why. Refuses as {@link #approve} does where it is one's own, ended or stale. */
    DataRequest refuse(UUID id, int seen, @Nullable String reason) {
        return transactions.write(dsl -> {
            RequestStore store = new RequestStore(dsl);
            DataRequest request = judged(store, id, seen);
            if (request.status() != Step.Status.ASKED) {
                throw new Problem.RequestEnded(request.status().words());
            }
            store.end(request, Step.Status.REFUSED, RequestForm.reason(reason));
            return store.read(id);
        });
    }

    /** Takes a request back, one's own or, as the guardian, any: no package is made or fetched any more. */
    DataRequest withdraw(UUID id, int seen, @Nullable String reason) {
        DataRequest withdrawn = transactions.write(dsl -> {
            RequestStore store = new RequestStore(dsl);
            DataRequest request = seen(store, id, seen);
            if (request.by() != Acting.current().actor() && !mayJudge(dsl, request)) {
                throw new Problem.NotAllowed("Only who asked, and the data guardian, may take a request back.");
            }
            store.end(request, Step.Status.WITHDRAWN, RequestForm.reason(reason));
            return store.read(id);
        });
        packages.remove(withdrawn);
        return withdrawn;
    }

    /** Whether the one who acts guards the data of its unit. */
    boolean mayJudge(DataRequest request) {
        return transactions.read(dsl -> mayJudge(dsl, request));
    }

    private static boolean mayJudge(DSLContext dsl, DataRequest request) {
        return Sites.may(dsl, request.site().no(), Right.JUDGE_RESEARCH);
    }

    /** Whether the one who acts has asked for it. */
    static boolean own(DataRequest request) {
        return request.by() == Acting.current().actor();
    }

    private static DataRequest judged(RequestStore store, UUID id, int seen) {
        DataRequest request = seen(store, id, seen);
        if (own(request)) {
            throw new Problem.OwnRequest();
        }
        return request;
    }

    private static DataRequest seen(RequestStore store, UUID id, int seen) {
        store.hold(id);
        DataRequest request = store.read(id);
        if (request.status().last()) {
            throw new Problem.RequestEnded(request.status().words());
        }
        if (request.version() != seen) {
            throw new Problem.Stale(IfMatch.tag(request.version()));
        }
        return request;
    }

    private LocalDate today(Site site) {
        return LocalDate.ofInstant(clock.instant(), site.zone());
    }
}
