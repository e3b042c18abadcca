package airway.registry.access;

import static airway.sql.generated.access.Tables.ACCOUNT;
import static airway.sql.generated.access.Tables.ACTOR;
import static airway.sql.generated.access.Tables.RECOVERY_CODE;
import static airway.sql.generated.access.Tables.ROLE_GRANT;
import static airway.sql.generated.access.Tables.SITE;

import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.DateTimeException;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.jooq.DSLContext;
import org.jooq.exception.DataAccessException;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/** What an administrator does: people and their roles, and the units. Everything done here is written down. */
@Component
@ConditionalOnWebApplication
public class Administration {
    private static final String NOT_TOGETHER = "never the same actor";
    private static final String SECOND_TIME = "role_grant_once";
    private static final String TO_ONESELF = "nobody gives the look-back to themselves";
    private static final int TITLE = 80;

    private final ActorTransactions transactions;
    private final Clock clock;

    Administration(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /**
     * A person in the list.
     *
     * @param state invited, active or disabled
     * @param codes whether one-time codes are set up
     */
    public record Line(int actor, String login, String title, String state, boolean codes, List<Granted> grants) {}

    /**
     * A role somebody has.
     *
     * @param unit title of the unit, null beside the units
     */
    public record Granted(int grant, Role role, @Nullable String unit) {}

    /** All people, by name. */
    public List<Line> people() {
        return transactions.read(dsl -> lines(dsl, DSL.noCondition()));
    }

    /**
     * One person.
     *
     * @throws Problem.Missing if there is none
     */
    public Line person(int actor) {
        return transactions.read(dsl -> person(dsl, actor));
    }

    private Line person(DSLContext dsl, int actor) {
        return lines(dsl, ACCOUNT.ACTOR_ID.eq(actor)).stream()
                .findFirst()
                .orElseThrow(() -> new Problem.Missing("person"));
    }

    private List<Line> lines(DSLContext dsl, org.jooq.Condition which) {
        Map<Integer, List<Granted>> grants = dsl
                .select(ROLE_GRANT.ACTOR_ID, ROLE_GRANT.GRANT_ID, ROLE_GRANT.ROLE, SITE.TITLE)
                .from(ROLE_GRANT)
                .join(ACCOUNT)
                .on(ACCOUNT.ACTOR_ID.eq(ROLE_GRANT.ACTOR_ID))
                .leftJoin(SITE)
                .on(SITE.SITE_ID.eq(ROLE_GRANT.SITE_ID))
                .where(which)
                .and(People.inForce(clock))
                .orderBy(ROLE_GRANT.GRANT_ID)
                .fetch()
                .stream()
                .collect(Collectors.groupingBy(
                        row -> row.value1(),
                        Collectors.flatMapping(
                                row ->
                                        Role.of(row.value3())
                                                .map(role -> new Granted(row.value2(), role, row.value4()))
                                                .stream(),
                                Collectors.toList())));
        return dsl.select(
                        ACCOUNT.ACTOR_ID, ACCOUNT.LOGIN, ACTOR.TITLE, ACCOUNT.STATE, ACCOUNT.SECOND_FACTOR.isNotNull())
                .from(ACCOUNT)
                .join(ACTOR)
                .on(ACTOR.ACTOR_ID.eq(ACCOUNT.ACTOR_ID))
                .where(which)
                .orderBy(ACTOR.TITLE, ACCOUNT.ACTOR_ID)
                .fetch(row -> new Line(
                        row.value1(),
                        row.value2(),
                        row.value3(),
                        row.value4(),
                        row.value5(),
                        grants.getOrDefault(row.value1(), List.of())));
    }

    /** A person who was added, and the code to join with, which cannot be shown again. */
    public record Added(int actor, String code) {}

    /**
     * Adds a person with a first role.
     *
     * @param unit code of the unit of the role, null for a role beside the units
     * @throws Problem.Invalid if one of these is not possible
     */
    public Added add(String login, String title, String role, @Nullable String unit) {
        return transactions.write(dsl -> {
            List<Fault> faults = new ArrayList<>(SignIn.nameFaults(dsl, login, title));
            Optional<Role> chosen = Role.of(role);
            if (chosen.isEmpty()) {
                faults.add(Fault.parameter("role", "unknown", "Choose a role."));
            }
            if (!faults.isEmpty()) {
                throw new Problem.Invalid(faults);
            }
            int actor = SignIn.add(dsl, login, title);
            AuditNote.of("invited", "person").about(actor).write(dsl);
            grant(dsl, actor, chosen.orElseThrow(), unit);
            return new Added(actor, SignIn.invite(dsl, clock, actor));
        });
    }

    /** A new code for somebody who forgot the password, or whose code ran out. */
    public String invite(int actor) {
        return transactions.write(dsl -> {
            person(dsl, actor);
            AuditNote.of("invited", "person").about(actor).write(dsl);
            return SignIn.invite(dsl, clock, actor);
        });
    }

    /**
     * Gives a role.
     *
     * @throws Problem.Invalid if it is not possible, such as administrator and researcher at once
     */
    public void grant(int actor, String role, @Nullable String unit) {
        transactions.write(dsl -> {
            person(dsl, actor);
            grant(
                    dsl,
                    actor,
                    Role.of(role)
                            .orElseThrow(
                                    () -> new Problem.Invalid(Fault.parameter("role", "unknown", "Choose a role."))),
                    unit);
            return actor;
        });
    }

    private static void grant(DSLContext dsl, int actor, Role role, @Nullable String unit) {
        Short site = null;
        if (!role.besideUnits()) {
            site = unit == null || unit.isBlank()
                    ? null
                    : Sites.find(dsl, unit).map(Site::no).orElse(null);
            if (site == null) {
                throw new Problem.Invalid(Fault.parameter("unit", "missing", "Choose the unit of the role."));
            }
        }
        try {
            Tokens.grant(dsl, actor, role, site);
        } catch (DataAccessException e) {
            String said = String.valueOf(e.getMessage());
            if (said.contains(NOT_TOGETHER)) {
                throw new Problem.Invalid(Fault.parameter(
                        "role",
                        "apart",
                        "Administrator and researcher are never the same person; give it to somebody else."));
            } else if (said.contains(TO_ONESELF)) {
                throw new Problem.Invalid(Fault.parameter(
                        "role", "oneself", "The look-back is given by somebody else: ask another administrator."));
            } else if (said.contains(SECOND_TIME)) {
                throw new Problem.Invalid(Fault.parameter("role", "twice", "This person has this role already."));
            }
            throw e;
        }
        AuditNote.of("granted", "grant")
                .unit(site)
                .about(actor)
                .detail(Map.of("role", role.code()))
                .write(dsl);
    }

    /**
     * Takes a role away, from now on.
     *
     * @throws Problem.Conflict if nobody would be left to administer the register
     */
    public void end(int actor, int grant) {
        transactions.write(dsl -> {
            Line person = person(dsl, actor);
            Granted ending = person.grants().stream()
                    .filter(one -> one.grant() == grant)
                    .findFirst()
                    .orElseThrow(() -> new Problem.Missing("role"));
            if (ending.role() == Role.ADMINISTRATOR) {
                keepOneAdministrator(dsl, actor);
            }
            Short site = dsl.update(ROLE_GRANT)
                    .set(ROLE_GRANT.ENDED_AT, OffsetDateTime.now(clock))
                    .where(ROLE_GRANT.GRANT_ID.eq(grant))
                    .returningResult(ROLE_GRANT.SITE_ID)
                    .fetchSingle()
                    .value1();
            AuditNote.of("ended", "grant")
                    .unit(site)
                    .about(actor)
                    .detail(Map.of("role", ending.role().code()))
                    .write(dsl);
            return actor;
        });
    }

    /**
     * Closes or opens an account. What is closed is out at once, with every session.
     *
     * @throws Problem.Conflict if nobody would be left to administer the register
     */
    public void open(int actor, boolean open) {
        transactions.write(dsl -> {
            Line person = person(dsl, actor);
            if (!open && person.grants().stream().anyMatch(one -> one.role() == Role.ADMINISTRATOR)) {
                keepOneAdministrator(dsl, actor);
            }
            String state = !open ? "disabled" : passwordSet(dsl, actor) ? "active" : "invited";
            dsl.update(ACCOUNT)
                    .set(ACCOUNT.STATE, state)
                    .where(ACCOUNT.ACTOR_ID.eq(actor))
                    .execute();
            AuditNote.of(open ? "enabled" : "disabled", "person").about(actor).write(dsl);
            return actor;
        });
    }

    private static boolean passwordSet(DSLContext dsl, int actor) {
        return dsl.fetchExists(ACCOUNT, ACCOUNT.ACTOR_ID.eq(actor).and(ACCOUNT.PASSWORD_HASH.isNotNull()));
    }

    private void keepOneAdministrator(DSLContext dsl, int leaving) {
        boolean another = dsl.fetchExists(dsl.selectFrom(ACCOUNT)
                .where(ACCOUNT.STATE.eq("active"))
                .and(ACCOUNT.ACTOR_ID.ne(leaving))
                .and(ACCOUNT.ACTOR_ID.in(Grants.holders(dsl, Role.ADMINISTRATOR, clock))));
        if (!another) {
            throw new Problem.Conflict(
                    "Nobody would be left to administer the register: make somebody else an administrator first.",
                    List.of());
        }
    }

    /** Lets somebody who lost phone and recovery codes set up new ones at the next sign-in. */
    public void forgetCodes(int actor) {
        transactions.write(dsl -> {
            person(dsl, actor);
            dsl.update(ACCOUNT)
                    .setNull(ACCOUNT.SECOND_FACTOR)
                    .setNull(ACCOUNT.SECOND_FACTOR_STEP)
                    .where(ACCOUNT.ACTOR_ID.eq(actor))
                    .execute();
            dsl.deleteFrom(RECOVERY_CODE)
                    .where(RECOVERY_CODE.ACTOR_ID.eq(actor))
                    .execute();
            AuditNote.of("reset", "person")
                    .about(actor)
                    .detail(Map.of("what", "one-time codes"))
                    .write(dsl);
            return actor;
        });
    }

    /** The units, by key. */
    public List<Site> units() {
        return transactions.read(Sites::all);
    }

    /**
     * Adds a unit. Nobody sees its records until somebody is given a role in it.
     *
     * @throws Problem.Invalid if one of these is not possible
     */
    public void addUnit(String code, String title, String kind, String zone) {
        transactions.write(dsl -> {
            List<Fault> faults = new ArrayList<>();
            if (!code.matches("[a-z][a-z0-9_-]{1,31}")) {
                faults.add(Fault.parameter(
                        "code", "form", "Choose 2 to 32 small letters, digits, _ or -, beginning with a letter."));
            } else if (Sites.find(dsl, code).isPresent()) {
                faults.add(Fault.parameter("code", "taken", "There is a unit of this code; choose another."));
            }
            if (title.isBlank() || title.strip().length() > TITLE) {
                faults.add(Fault.parameter("title", "length", "Say what the unit is called, in 1 to 80 characters."));
            }
            if (!Site.KINDS.containsKey(kind)) {
                faults.add(Fault.parameter("kind", "unknown", "Choose what kind of unit it is."));
            }
            ZoneId parsed = null;
            try {
                parsed = ZoneId.of(zone.strip());
            } catch (DateTimeException e) {
                faults.add(Fault.parameter("zone", "unknown", "Name a time zone, for example Europe/London."));
            }
            if (!faults.isEmpty() || parsed == null) {
                throw new Problem.Invalid(faults);
            }
            Site added = Sites.add(dsl, code, title.strip(), kind, parsed, false);
            AuditNote.of("added", "unit").unit(added.no()).write(dsl);
            return added;
        });
    }
}
