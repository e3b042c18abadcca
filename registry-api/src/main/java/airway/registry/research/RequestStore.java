package airway.registry.research;

import static airway.sql.generated.research.Tables.CANDIDATE;
import static airway.sql.generated.research.Tables.CHOSEN;
import static airway.sql.generated.research.Tables.FETCHED;
import static airway.sql.generated.research.Tables.LINK;
import static airway.sql.generated.research.Tables.PACKAGE;
import static airway.sql.generated.research.Tables.REQUEST;
import static airway.sql.generated.research.Tables.STEP;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Stratum;
import airway.registry.problem.Problem;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.YearMonth;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.UUID;
import java.util.stream.Collectors;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.JSONB;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Keeps requests and their steps, inside a running transaction. */
final class RequestStore {
    private static final JsonMapper JSON = new JsonMapper();
    private static final HexFormat HEX = HexFormat.of();
    private static final int BATCH = 50_000;

    private final DSLContext dsl;

    RequestStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Waits for whoever else takes a step of the request; held until the transaction ends. */
    void hold(UUID id) {
        dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("research " + id));
    }

    /** All requests of a unit, the newest first. */
    List<DataRequest> all(Site site) {
        return requests(REQUEST.SITE_ID.eq(site.no()));
    }

    /**
     * A request.
     *
     * @throws Problem.Missing if there is none in the units of the one who acts
     */
    DataRequest read(UUID id) {
        return requests(REQUEST.REQUEST_ID.eq(id)).stream()
                .findFirst()
                .orElseThrow(() -> new Problem.Missing("request"));
    }

    private List<DataRequest> requests(Condition which) {
        Map<Short, Site> sites = Sites.all(dsl).stream().collect(Collectors.toMap(Site::no, site -> site));
        Map<UUID, DataRequest> requests = new LinkedHashMap<>();
        dsl.select(REQUEST.fields())
                .select(
                        STEP.VERSION,
                        STEP.STATUS,
                        STEP.REASON,
                        STEP.LEVELS,
                        STEP.RARE,
                        STEP.MATCHING,
                        STEP.ALLOWED,
                        STEP.REMOVED,
                        STEP.ACCEPTED_LOSS,
                        STEP.HELD_AGAINST,
                        STEP.DIGEST,
                        STEP.CUT_OFF,
                        STEP.SEAL_SEQ,
                        STEP.SEAL_HASH,
                        STEP.RECORDED_BY,
                        STEP.WRITTEN_AT)
                .from(REQUEST)
                .join(STEP)
                .on(STEP.SITE_ID.eq(REQUEST.SITE_ID), STEP.REQUEST_ID.eq(REQUEST.REQUEST_ID))
                .where(which)
                .orderBy(REQUEST.ASKED_AT.desc(), REQUEST.REQUEST_ID, STEP.VERSION)
                .forEach(row -> {
                    Site site = sites.get(row.get(REQUEST.SITE_ID));
                    if (site != null) {
                        requests.computeIfAbsent(row.get(REQUEST.REQUEST_ID), id -> request(site, row))
                                .steps()
                                .add(step(row));
                    }
                });
        made(requests);
        return List.copyOf(requests.values());
    }

    private void made(Map<UUID, DataRequest> requests) {
        Map<List<?>, List<Instant>> fetched = new HashMap<>();
        dsl.select(PACKAGE.REQUEST_ID, PACKAGE.VERSION, PACKAGE.SHA256, PACKAGE.ROW_COUNT, PACKAGE.MADE_AT)
                .select(FETCHED.FETCHED_AT)
                .from(PACKAGE)
                .leftJoin(LINK)
                .on(
                        LINK.SITE_ID.eq(PACKAGE.SITE_ID),
                        LINK.REQUEST_ID.eq(PACKAGE.REQUEST_ID),
                        LINK.VERSION.eq(PACKAGE.VERSION),
                        LINK.SHA256.eq(PACKAGE.SHA256))
                .leftJoin(FETCHED)
                .on(FETCHED.LINK_HASH.eq(LINK.LINK_HASH))
                .where(PACKAGE.REQUEST_ID.in(requests.keySet()))
                .orderBy(PACKAGE.MADE_AT, FETCHED.FETCHED_AT)
                .forEach(row -> {
                    String sha256 = HEX.formatHex(row.get(PACKAGE.SHA256));
                    List<?> key = List.of(row.get(PACKAGE.REQUEST_ID), row.get(PACKAGE.VERSION), sha256);
                    List<Instant> times = fetched.computeIfAbsent(key, none -> {
                        List<Instant> fresh = new ArrayList<>();
                        Objects.requireNonNull(requests.get(row.get(PACKAGE.REQUEST_ID)))
                                .packages()
                                .add(new DataRequest.Made(
                                        row.get(PACKAGE.VERSION),
                                        sha256,
                                        row.get(PACKAGE.ROW_COUNT),
                                        row.get(PACKAGE.MADE_AT).toInstant(),
                                        fresh));
                        return fresh;
                    });
                    OffsetDateTime at = row.get(FETCHED.FETCHED_AT);
                    if (at != null) {
                        times.add(at.toInstant());
                    }
                });
    }

    void insert(UUID id, Choice choice, Terms terms) {
        Group about = choice.about();
        YearMonth from = choice.cohort().from();
        YearMonth to = choice.cohort().to();
        dsl.insertInto(REQUEST)
                .set(REQUEST.SITE_ID, choice.cohort().sites().get(0).no())
                .set(REQUEST.REQUEST_ID, id)
                .set(REQUEST.PROFILE, choice.profile().code())
                .set(REQUEST.SAFE_HARBOR, choice.safeHarbor())
                .set(
                        REQUEST.VARIABLES,
                        choice.variables().stream().map(KnownVariable::variable).toArray(String[]::new))
                .set(
                        REQUEST.ANSWERS,
                        choice.answers().stream().map(Answer::variable).toArray(String[]::new))
                .set(REQUEST.FIRST_MONTH, from == null ? null : from.atDay(1))
                .set(REQUEST.LAST_MONTH, to == null ? null : to.atDay(1))
                .set(REQUEST.FILTERS, JSONB.valueOf(filters(choice.cohort()).toString()))
                .set(
                        REQUEST.ABOUT_VARIABLE,
                        about == null ? null : about.variable().variable())
                .set(REQUEST.ABOUT_CODE, about == null ? null : about.code())
                .set(REQUEST.PURPOSE, terms.purpose())
                .set(REQUEST.RECIPIENT, terms.recipient())
                .set(REQUEST.APPROVAL_REFERENCE, terms.approvalReference())
                .set(REQUEST.APPROVAL_EXPIRES, terms.approvalExpires())
                .execute();
    }

    /** Adds the first step of a request that was just kept. */
    void ask(Site site, UUID id, int by) {
        dsl.insertInto(STEP)
                .set(STEP.SITE_ID, site.no())
                .set(STEP.REQUEST_ID, id)
                .set(STEP.VERSION, 1)
                .set(STEP.STATUS, Step.Status.ASKED.code())
                .set(STEP.ASKED_BY, by)
                .execute();
    }

    /** Adds a step that ends it. */
    void end(DataRequest request, Step.Status status, String reason) {
        dsl.insertInto(STEP)
                .set(STEP.SITE_ID, request.site().no())
                .set(STEP.REQUEST_ID, request.id())
                .set(STEP.VERSION, request.version() + 1)
                .set(STEP.FROM_STATUS, request.status().code())
                .set(STEP.STATUS, status.code())
                .set(STEP.ASKED_BY, request.by())
                .set(STEP.REASON, reason)
                .execute();
    }

    /**
     * Adds a yes, with the records that it is about.
     *
     * @param leftOut numbers of those whose row is left out
     */
    void approve(DataRequest request, Approval approval, List<Candidate> chosen, Set<Integer> leftOut) {
        Approval.Head head = approval.head();
        Integer accepted = approval.acceptedLoss();
        short unit = request.site().no();
        int version = request.version() + 1;
        dsl.insertInto(STEP)
                .set(STEP.SITE_ID, unit)
                .set(STEP.REQUEST_ID, request.id())
                .set(STEP.VERSION, version)
                .set(STEP.FROM_STATUS, request.status().code())
                .set(STEP.STATUS, Step.Status.APPROVED.code())
                .set(STEP.ASKED_BY, request.by())
                .set(
                        STEP.LEVELS,
                        approval.levels().stream().map(Integer::shortValue).toArray(Short[]::new))
                .set(STEP.RARE, JSONB.valueOf(rare(approval.rare()).toString()))
                .set(STEP.MATCHING, approval.matching())
                .set(STEP.ALLOWED, approval.allowed())
                .set(STEP.REMOVED, approval.removed())
                .set(STEP.ACCEPTED_LOSS, accepted == null ? null : accepted.shortValue())
                .set(STEP.HELD_AGAINST, approval.heldAgainst())
                .set(STEP.DIGEST, HEX.parseHex(approval.digest()))
                .set(STEP.CUT_OFF, approval.cutOff().atOffset(ZoneOffset.UTC))
                .set(STEP.SEAL_SEQ, head == null ? null : head.seq())
                .set(STEP.SEAL_HASH, head == null ? null : HEX.parseHex(head.hash()))
                .execute();
        for (int from = 0; from < chosen.size(); from += BATCH) {
            List<Candidate> some = chosen.subList(from, Math.min(from + BATCH, chosen.size()));
            Boolean[] out = new Boolean[some.size()];
            for (int i = 0; i < out.length; i++) {
                out[i] = leftOut.contains(from + i);
            }
            dsl.execute(
                    "insert into research.chosen (site_id, request_id, version, encounter_id, encounter_version, left_out)"
                            + " select {0}, {1}, {2}, c.e, c.v, c.o from unnest({3}, {4}, {5}) as c(e, v, o)",
                    DSL.val(unit),
                    DSL.val(request.id()),
                    DSL.val(version),
                    DSL.val(some.stream().map(Candidate::encounter).toArray(UUID[]::new)),
                    DSL.val(some.stream().map(Candidate::version).toArray(Integer[]::new)),
                    DSL.val(out));
        }
    }

    /** Waits for whoever else says yes in the unit: each yes is held against the ones before. */
    void hold(Site site) {
        dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("research of " + site.no()));
    }

    /**
     * What has left a unit, or may at any moment: packages that were fetched, and each newest yes of a request.
     *
     * @param giving a request whose newest yes counts only if its package was fetched: a new one takes its place
     */
    List<Earlier.Gone> gone(Site site, @Nullable UUID giving) {
        Map<UUID, Set<Integer>> fetched = new HashMap<>();
        dsl.selectDistinct(LINK.REQUEST_ID, LINK.VERSION)
                .from(LINK)
                .join(FETCHED)
                .on(FETCHED.LINK_HASH.eq(LINK.LINK_HASH))
                .where(LINK.SITE_ID.eq(site.no()))
                .forEach(row -> fetched.computeIfAbsent(row.value1(), none -> new HashSet<>())
                        .add(row.value2()));
        List<Earlier.Gone> gone = new ArrayList<>();
        for (DataRequest request : all(site)) {
            for (Step step : request.steps()) {
                Approval approval = step.approval();
                boolean counts = fetched.getOrDefault(request.id(), Set.of()).contains(step.version())
                        || (step.version() == request.version() && !request.id().equals(giving));
                if (approval != null && counts) {
                    gone.add(new Earlier.Gone(request.choice(), approval, rows(request, step.version())));
                }
            }
        }
        return gone;
    }

    private Map<UUID, Integer> rows(DataRequest request, int version) {
        return dsl.select(CHOSEN.ENCOUNTER_ID, CHOSEN.ENCOUNTER_VERSION)
                .from(CHOSEN)
                .where(
                        CHOSEN.SITE_ID.eq(request.site().no()),
                        CHOSEN.REQUEST_ID.eq(request.id()),
                        CHOSEN.VERSION.eq(version),
                        CHOSEN.LEFT_OUT.isFalse())
                .fetchMap(CHOSEN.ENCOUNTER_ID, CHOSEN.ENCOUNTER_VERSION);
    }

    /** Whether every record of an approval is still as it was, and may still leave. */
    boolean unchanged(DataRequest request, int version) {
        // Whoever asks waits for it knowingly, and a million records take longer than a page may.
        dsl.execute("set local statement_timeout = '5min'");
        return !dsl.fetchExists(dsl.select(DSL.one())
                .from(CHOSEN)
                .leftJoin(CANDIDATE)
                .on(
                        CANDIDATE.SITE_ID.eq(CHOSEN.SITE_ID),
                        CANDIDATE.ENCOUNTER_ID.eq(CHOSEN.ENCOUNTER_ID),
                        CANDIDATE.VERSION.eq(CHOSEN.ENCOUNTER_VERSION),
                        CANDIDATE.OPTED_OUT.eq("no"))
                .where(
                        CHOSEN.SITE_ID.eq(request.site().no()),
                        CHOSEN.REQUEST_ID.eq(request.id()),
                        CHOSEN.VERSION.eq(version),
                        CANDIDATE.ENCOUNTER_ID.isNull()));
    }

    /** How far the chain over the audit has come; null while nothing is sealed. */
    Approval.@Nullable Head head() {
        Record row = dsl.fetchSingle("select seq, hash from audit.newest_head()");
        Long seq = row.get("seq", Long.class);
        return seq == null ? null : new Approval.Head(seq, HEX.formatHex(row.get("hash", byte[].class)));
    }

    private static ObjectNode filters(Cohort cohort) {
        Map<String, Set<String>> filters = new TreeMap<>();
        cohort.filters().forEach((stratum, codes) -> filters.put(stratum.variable(), codes));
        return rare(filters);
    }

    /** Codes by variable. */
    private static ObjectNode rare(Map<String, Set<String>> codes) {
        ObjectNode out = JSON.createObjectNode();
        codes.forEach((variable, values) -> {
            ArrayNode list = out.putArray(variable);
            values.forEach(list::add);
        });
        return out;
    }

    private static Map<String, Set<String>> codes(JSONB json) {
        Map<String, Set<String>> codes = new TreeMap<>();
        JSON.readTree(json.data()).properties().forEach(variable -> {
            Set<String> values = new TreeSet<>();
            variable.getValue().forEach(value -> values.add(value.asString()));
            codes.put(variable.getKey(), values);
        });
        return codes;
    }

    private static DataRequest request(Site site, Record row) {
        Map<Stratum, Set<String>> filters = new TreeMap<>();
        codes(row.get(REQUEST.FILTERS))
                .forEach((variable, codes) ->
                        filters.put(Stratum.named(variable).orElseThrow(), new LinkedHashSet<>(codes)));
        String about = row.get(REQUEST.ABOUT_VARIABLE);
        Choice choice = new Choice(
                Profile.named(row.get(REQUEST.PROFILE)).orElseThrow(),
                row.get(REQUEST.SAFE_HARBOR),
                Arrays.stream(row.get(REQUEST.VARIABLES))
                        .map(name -> KnownVariable.named(name).orElseThrow())
                        .toList(),
                Arrays.stream(row.get(REQUEST.ANSWERS))
                        .map(name -> Answer.named(name).orElseThrow())
                        .toList(),
                new Cohort(
                        List.of(site),
                        month(row.get(REQUEST.FIRST_MONTH)),
                        month(row.get(REQUEST.LAST_MONTH)),
                        filters,
                        Set.of()),
                about == null ? null : new Group(Stratum.named(about).orElseThrow(), row.get(REQUEST.ABOUT_CODE)));
        return new DataRequest(
                row.get(REQUEST.REQUEST_ID),
                choice,
                new Terms(
                        row.get(REQUEST.PURPOSE),
                        row.get(REQUEST.RECIPIENT),
                        row.get(REQUEST.APPROVAL_REFERENCE),
                        row.get(REQUEST.APPROVAL_EXPIRES)),
                row.get(REQUEST.ASKED_BY),
                row.get(REQUEST.ASKED_AT).toInstant(),
                new ArrayList<>(),
                new ArrayList<>());
    }

    private static @Nullable YearMonth month(@Nullable LocalDate day) {
        return day == null ? null : YearMonth.from(day);
    }

    private static Step step(Record row) {
        Step.Status status = Arrays.stream(Step.Status.values())
                .filter(one -> one.code().equals(row.get(STEP.STATUS)))
                .findFirst()
                .orElseThrow();
        Long seq = row.get(STEP.SEAL_SEQ);
        Short accepted = row.get(STEP.ACCEPTED_LOSS);
        Approval approval = status != Step.Status.APPROVED
                ? null
                : new Approval(
                        Arrays.stream(row.get(STEP.LEVELS)).map(Short::intValue).toList(),
                        codes(row.get(STEP.RARE)),
                        row.get(STEP.MATCHING),
                        row.get(STEP.ALLOWED),
                        row.get(STEP.REMOVED),
                        accepted == null ? null : accepted.intValue(),
                        Objects.requireNonNullElse(row.get(STEP.HELD_AGAINST), 0),
                        HEX.formatHex(row.get(STEP.DIGEST)),
                        row.get(STEP.CUT_OFF).toInstant(),
                        seq == null ? null : new Approval.Head(seq, HEX.formatHex(row.get(STEP.SEAL_HASH))));
        return new Step(
                row.get(STEP.VERSION),
                status,
                row.get(STEP.REASON),
                row.get(STEP.RECORDED_BY),
                row.get(STEP.WRITTEN_AT).toInstant(),
                approval);
    }
}
