package airway.registry.access;

import static airway.sql.generated.access.Tables.ACTOR;
import static airway.sql.generated.access.Tables.SITE;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** The units that the one who acts may see. */
@Component
public class Sites {
    private final ActorTransactions transactions;

    Sites(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /** All units of the actor, the home unit first. */
    public List<Site> all() {
        return transactions.read(Sites::all);
    }

    /** The same inside a running transaction. */
    public static List<Site> all(DSLContext dsl) {
        return dsl.selectFrom(SITE).orderBy(SITE.SITE_ID).fetch(Sites::site);
    }

    public Optional<Site> find(String code) {
        return find(all(), code);
    }

    /** The same inside a running transaction. */
    public static Optional<Site> find(DSLContext dsl, String code) {
        return find(all(dsl), code);
    }

    private static Optional<Site> find(List<Site> sites, String code) {
        return sites.stream().filter(site -> site.code().equals(code)).findFirst();
    }

    /**
     * The unit a request names, or the home unit when it names none.
     *
     * @throws Problem.Conflict if there is no unit yet
     * @throws Problem.Missing if the one who acts has no such unit
     */
    public static Site named(DSLContext dsl, @Nullable String code) {
        List<Site> sites = all(dsl);
        if (sites.isEmpty()) {
            throw new Problem.Conflict(
                    "There is no unit yet: name one with airway.unit.code and airway.unit.title.", List.of());
        }
        return code == null ? sites.get(0) : find(sites, code).orElseThrow(Sites::unknown);
    }

    /**
     * The unit that a body names in {@code site_id}, or the home unit.
     *
     * @throws Problem.Invalid if the one who acts has no such unit
     */
    public static Site inBody(DSLContext dsl, JsonNode body) {
        JsonNode code = body.path("site_id");
        try {
            return named(dsl, code.isMissingNode() || code.isNull() ? null : code.asString(""));
        } catch (Problem.Missing e) {
            throw new Problem.Invalid(Fault.at("/site_id", "site.unknown", "Name one of your units, or leave it out."));
        }
    }

    private static Problem.Missing unknown() {
        return new Problem.Missing(
                "unit",
                List.of(Fault.parameter("site_id", "site.unknown", "Name one of your units, or leave this out.")));
    }

    /** As {@link #named(DSLContext, String)}, in a transaction of its own. */
    public Site named(@Nullable String code) {
        return transactions.read(dsl -> named(dsl, code));
    }

    /** As {@link #inBody(DSLContext, JsonNode)}, in a transaction of its own. */
    public Site inBody(JsonNode body) {
        return transactions.read(dsl -> inBody(dsl, body));
    }

    /** Whether the one who acts has one of these rights in this unit, inside a running transaction. */
    public static boolean may(DSLContext dsl, short unit, Right... rights) {
        return dsl.select(DSL.field(
                        "access.holds({0}, {1})",
                        Boolean.class,
                        DSL.val(unit),
                        DSL.val(Role.with(rights).toArray(String[]::new), String[].class)))
                .fetchSingle()
                .value1();
    }

    /** Adds a unit unless one of this code is there. */
    public Site add(String code, String title, String kind, ZoneId zone, boolean invented) {
        return transactions.write(dsl -> add(dsl, code, title, kind, zone, invented));
    }

    /** The same inside a running transaction, which from then on sees the unit. */
    public static Site add(DSLContext dsl, String code, String title, String kind, ZoneId zone, boolean invented) {
        if (Acting.current().roles() == null) {
            // The program sees a unit that came since this transaction began, and must be able to write into it too.
            dsl.execute("select access.enter(access.current_actor())");
        }
        return find(dsl, code).orElseGet(() -> {
            dsl.execute(
                    "select access.add_site({0}, {1}, {2}, {3}, {4})",
                    DSL.val(code), DSL.val(title), DSL.val(kind), DSL.val(zone.getId()), DSL.val(invented));
            return find(dsl, code).orElseThrow();
        });
    }

    /** Who acts. */
    public Actor actor() {
        return transactions.read(dsl -> dsl.selectFrom(ACTOR)
                .where(ACTOR.ACTOR_ID.eq(Acting.current().actor()))
                .fetchSingle(row -> new Actor(
                        row.get(ACTOR.TITLE), row.get(ACTOR.OPERATOR_GRADE), row.get(ACTOR.OPERATOR_EXPERIENCE))));
    }

    private static Site site(Record row) {
        return new Site(
                row.get(SITE.SITE_ID),
                row.get(SITE.CODE),
                row.get(SITE.TITLE),
                row.get(SITE.SITE_KIND),
                ZoneId.of(row.get(SITE.ZONE)),
                row.get(SITE.INVENTED));
    }
}
