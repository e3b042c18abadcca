package airway.registry.access;

import static airway.sql.generated.access.Tables.ACCOUNT;
import static airway.sql.generated.access.Tables.ACTOR;
import static airway.sql.generated.access.Tables.INVITATION;
import static airway.sql.generated.access.Tables.RECOVERY_CODE;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.keys.Keys;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import com.google.zxing.common.BitMatrix;
import java.time.Clock;
import java.time.Duration;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/**
 * How a person proves who they are: name and password, then a one-time code where the person has them. Whatever was wrong,
 * the answer is the same and takes as long.
 */
/*
 * Nobody has signed in yet when this is asked, so it acts as the program.
 */
@Component
@ConditionalOnWebApplication
public class SignIn {
    /** How long the code of the first start serves. */
    public static final Duration SET_UP = Duration.ofMinutes(30);

    private static final Duration INVITED = Duration.ofDays(3);
    private static final int RECOVERY_CODES = 10;
    private static final int LOGIN_LONGEST = 80;

    private final ActorTransactions transactions;
    private final Keys keys;
    private final Clock clock;
    private final Passwords passwords = new Passwords();
    private final Tries tries;

    SignIn(ActorTransactions transactions, Keys keys, Clock clock) {
        this.transactions = transactions;
        this.keys = keys;
        this.clock = clock;
        this.tries = new Tries(keys, clock);
    }

    /**
     * The right name and password.
     *
     * @param actor key of the person
     * @param codeToCome whether a one-time code is still needed
     */
    public record Half(int actor, boolean codeToCome) {}

    /** Whom an invitation is for; without a person it is the code of the first start. */
    public record Invited(@Nullable Integer actor, String login, String title) {
        public boolean first() {
            return actor == null;
        }
    }

    /**
     * Checks name and password.
     *
     * @return empty when something was wrong
     * @throws Problem.TooMany when it must not be tried yet
     */
    public Optional<Half> password(String name, String password, String address) {
        String login = login(name);
        Record account = asProgram(false, dsl -> {
            long wait = tries.wait(dsl, login, address);
            if (wait > 0) {
                throw new Problem.TooMany(wait);
            }
            return dsl.selectFrom(ACCOUNT)
                    .where(ACCOUNT.LOGIN.eq(login))
                    .and(ACCOUNT.STATE.eq("active"))
                    .fetchOne();
        });
        String hash = account == null ? null : account.get(ACCOUNT.PASSWORD_HASH);
        if (!passwords.matches(password, hash) || account == null || hash == null) {
            asProgram(true, dsl -> {
                tries.wrong(dsl, login, address);
                AuditNote note = AuditNote.of("refused", "session");
                (account == null ? note : note.about(account.get(ACCOUNT.ACTOR_ID))).write(dsl);
                return true;
            });
            return Optional.empty();
        }
        if (passwords.weakened(hash)) {
            asProgram(
                    true,
                    dsl -> dsl.update(ACCOUNT)
                            .set(ACCOUNT.PASSWORD_HASH, passwords.hash(password))
                            .where(ACCOUNT.ACTOR_ID.eq(account.get(ACCOUNT.ACTOR_ID)))
                            .execute());
        }
        return Optional.of(new Half(account.get(ACCOUNT.ACTOR_ID), account.get(ACCOUNT.SECOND_FACTOR) != null));
    }

    /**
     * Checks a one-time code, or a recovery code in its place. No code is taken twice.
     *
     * @throws Problem.TooMany when it must not be tried yet
     */
    public boolean code(int actor, String typed, String address) {
        return asProgram(true, dsl -> {
            Record account = account(dsl, actor);
            String login = account.get(ACCOUNT.LOGIN);
            long wait = tries.wait(dsl, login, address);
            if (wait > 0) {
                throw new Problem.TooMany(wait);
            }
            byte[] sealed = account.get(ACCOUNT.SECOND_FACTOR);
            boolean right = sealed != null
                    && (taken(dsl, actor, keys.open(place(actor), sealed), typed) || recovered(dsl, actor, typed));
            if (!right) {
                tries.wrong(dsl, login, address);
                AuditNote.of("refused", "session")
                        .about(actor)
                        .detail(Map.of("at", "code"))
                        .write(dsl);
            }
            return right;
        });
    }

    private boolean taken(DSLContext dsl, int actor, byte[] secret, String typed) {
        OptionalLong step = OneTimeCode.step(secret, typed, clock.instant());
        return step.isPresent()
                && dsl.update(ACCOUNT)
                                .set(ACCOUNT.SECOND_FACTOR_STEP, step.getAsLong())
                                .where(ACCOUNT.ACTOR_ID.eq(actor))
                                .and(ACCOUNT.SECOND_FACTOR_STEP
                                        .isNull()
                                        .or(ACCOUNT.SECOND_FACTOR_STEP.lt(step.getAsLong())))
                                .execute()
                        == 1;
    }

    private boolean recovered(DSLContext dsl, int actor, String typed) {
        String code = typed.replace("-", "").replace(" ", "").toUpperCase(Locale.ROOT);
        return dsl.update(RECOVERY_CODE)
                        .set(RECOVERY_CODE.USED_AT, OffsetDateTime.now(clock))
                        .where(RECOVERY_CODE.ACTOR_ID.eq(actor))
                        .and(RECOVERY_CODE.CODE_HASH.eq(Secret.hash(code)))
                        .and(RECOVERY_CODE.USED_AT.isNull())
                        .execute()
                == 1;
    }

    /** The person is in: written down, and wrong tries forgotten. */
    public SignedIn in(int actor) {
        return asProgram(true, dsl -> {
            tries.right(dsl, account(dsl, actor).get(ACCOUNT.LOGIN));
            byThemselves(dsl, actor, AuditNote.of("signed_in", "session"));
            return new SignedIn(actor, clock.instant());
        });
    }

    /** The person has left. */
    public void out(int actor) {
        asProgram(true, dsl -> {
            byThemselves(dsl, actor, AuditNote.of("signed_out", "session"));
            return true;
        });
    }

    /** The name typed at the sign-in, shown again where only the password is asked for. */
    public String login(int actor) {
        return asProgram(false, dsl -> account(dsl, actor).get(ACCOUNT.LOGIN));
    }

    /** The person whom a provider vouches for, if they linked it themselves. */
    public Optional<Half> linked(String issuer, String subject) {
        return asProgram(
                false,
                dsl -> dsl.selectFrom(ACCOUNT)
                        .where(ACCOUNT.ISSUER.eq(issuer))
                        .and(ACCOUNT.SUBJECT.eq(subject))
                        .and(ACCOUNT.STATE.eq("active"))
                        .fetchOptional(
                                row -> new Half(row.get(ACCOUNT.ACTOR_ID), row.get(ACCOUNT.SECOND_FACTOR) != null)));
    }

    /**
     * Links the account of somebody signed in with what a provider calls them.
     *
     * @throws Problem.Conflict if another account is linked with it
     */
    public void link(int actor, String issuer, String subject) {
        asProgram(true, dsl -> {
            if (dsl.fetchExists(
                    ACCOUNT, ACCOUNT.ISSUER.eq(issuer), ACCOUNT.SUBJECT.eq(subject), ACCOUNT.ACTOR_ID.ne(actor))) {
                throw new Problem.Conflict("Another account is linked with this sign-in.", List.of());
            }
            dsl.update(ACCOUNT)
                    .set(ACCOUNT.ISSUER, issuer)
                    .set(ACCOUNT.SUBJECT, subject)
                    .where(ACCOUNT.ACTOR_ID.eq(actor))
                    .execute();
            byThemselves(dsl, actor, AuditNote.of("set", "person").detail(Map.of("what", "provider")));
            return actor;
        });
    }

    // ---- joining ----

    /** The code of the first start, if nobody administers the register yet. */
    public Optional<String> setUpCode() {
        return asProgram(true, dsl -> {
            boolean somebody = dsl.fetchExists(dsl.selectFrom(ACCOUNT)
                    .where(ACCOUNT.STATE.eq("active"))
                    .and(ACCOUNT.ACTOR_ID.in(Grants.holders(dsl, Role.ADMINISTRATOR, clock))));
            if (somebody) {
                return Optional.empty();
            }
            end(dsl, INVITATION.ACTOR_ID.isNull());
            return Optional.of(invite(dsl, null, SET_UP));
        });
    }

    /** A code by which a person joins, or chooses a new password; earlier ones no longer serve. */
    static String invite(DSLContext dsl, Clock clock, int actor) {
        dsl.update(INVITATION)
                .set(INVITATION.USED_AT, OffsetDateTime.now(clock))
                .where(INVITATION.ACTOR_ID.eq(actor))
                .and(INVITATION.USED_AT.isNull())
                .execute();
        return invite(dsl, actor, INVITED, clock);
    }

    private String invite(DSLContext dsl, @Nullable Integer actor, Duration serves) {
        return invite(dsl, actor, serves, clock);
    }

    private static String invite(DSLContext dsl, @Nullable Integer actor, Duration serves, Clock clock) {
        String code = Secret.fresh();
        dsl.insertInto(INVITATION)
                .set(INVITATION.LINK_HASH, Secret.hash(code))
                .set(INVITATION.ACTOR_ID, actor)
                .set(INVITATION.EXPIRES_AT, OffsetDateTime.now(clock).plus(serves))
                .execute();
        return code;
    }

    private void end(DSLContext dsl, org.jooq.Condition which) {
        dsl.update(INVITATION)
                .set(INVITATION.USED_AT, OffsetDateTime.now(clock))
                .where(which)
                .and(INVITATION.USED_AT.isNull())
                .execute();
    }

    /** Whom a code is for; empty when it serves no more, or never did. */
    public Optional<Invited> invited(String code) {
        return asProgram(false, dsl -> invited(dsl, code));
    }

    private Optional<Invited> invited(DSLContext dsl, String code) {
        return dsl.select(INVITATION.ACTOR_ID, ACCOUNT.LOGIN, ACTOR.TITLE)
                .from(INVITATION)
                .leftJoin(ACCOUNT)
                .on(ACCOUNT.ACTOR_ID.eq(INVITATION.ACTOR_ID))
                .leftJoin(ACTOR)
                .on(ACTOR.ACTOR_ID.eq(INVITATION.ACTOR_ID))
                .where(INVITATION.LINK_HASH.eq(Secret.hash(code.strip())))
                .and(INVITATION.USED_AT.isNull())
                .and(INVITATION.EXPIRES_AT.gt(OffsetDateTime.now(clock)))
                .and(ACCOUNT.STATE.isNull().or(ACCOUNT.STATE.ne("disabled")))
                .fetchOptional(
                        row -> new Invited(row.value1(), String.valueOf(row.value2()), String.valueOf(row.value3())));
    }

    /**
     * Joins: the person of the code chooses a password; with the code of the first start the first administrator is made.
     *
     * @param login asked for with the code of the first start only
     * @param title what the person is called on screens, in the same way
     * @return key of the person
     * @throws Problem.Invalid if one of these is not possible
     * @throws Problem.Conflict if the code serves no more
     */
    public int join(String code, String login, String title, String password) {
        return asProgram(true, dsl -> {
            Invited invited = invited(dsl, code)
                    .orElseThrow(() -> new Problem.Conflict(
                            "This code does not serve any more. Ask whoever gave it to you for a new one.", List.of()));
            List<Fault> faults = new ArrayList<>();
            if (invited.first()) {
                faults.addAll(nameFaults(dsl, login, title));
            }
            passwords
                    .fault(
                            password,
                            List.of(
                                    invited.first() ? login : invited.login(),
                                    invited.first() ? title : invited.title()))
                    .ifPresent(faults::add);
            if (!faults.isEmpty()) {
                throw new Problem.Invalid(faults);
            }
            Integer known = invited.actor();
            int actor = known == null ? add(dsl, login, title) : known;
            if (known == null) {
                Tokens.grant(dsl, actor, Role.ADMINISTRATOR, null);
                AuditNote.of("granted", "grant")
                        .about(actor)
                        .detail(Map.of("role", Role.ADMINISTRATOR.code()))
                        .write(dsl);
            }
            dsl.update(ACCOUNT)
                    .set(ACCOUNT.PASSWORD_HASH, passwords.hash(password))
                    .set(ACCOUNT.PASSWORD_SET_AT, OffsetDateTime.now(clock))
                    .set(ACCOUNT.STATE, "active")
                    .where(ACCOUNT.ACTOR_ID.eq(actor))
                    .execute();
            end(dsl, INVITATION.LINK_HASH.eq(Secret.hash(code.strip())));
            byThemselves(dsl, actor, AuditNote.of("joined", "person"));
            return actor;
        });
    }

    /** What is wrong with the name to sign in with and the name on screens. */
    static List<Fault> nameFaults(DSLContext dsl, String login, String title) {
        List<Fault> faults = new ArrayList<>();
        String name = login(login);
        if (name.length() < 2 || name.length() > LOGIN_LONGEST || name.chars().anyMatch(Character::isWhitespace)) {
            faults.add(Fault.parameter("login", "form", "Choose 2 to 80 characters without spaces."));
        } else if (name.startsWith(DemoPeople.LOGIN)) {
            faults.add(Fault.parameter("login", "kept", "Names of invented people begin so; choose another."));
        } else if (dsl.fetchExists(ACCOUNT, ACCOUNT.LOGIN.eq(name))) {
            faults.add(Fault.parameter("login", "taken", "Somebody has this name already; choose another."));
        }
        if (title.isBlank() || title.strip().length() > LOGIN_LONGEST) {
            faults.add(
                    Fault.parameter("title", "length", "Say what the person is called here, in 1 to 80 characters."));
        }
        return faults;
    }

    static int add(DSLContext dsl, String login, String title) {
        int actor = dsl.insertInto(ACTOR)
                .set(ACTOR.TITLE, title.strip())
                .returningResult(ACTOR.ACTOR_ID)
                .fetchSingle()
                .value1();
        dsl.insertInto(ACCOUNT)
                .set(ACCOUNT.ACTOR_ID, actor)
                .set(ACCOUNT.LOGIN, login(login))
                .execute();
        return actor;
    }

    private static String login(String typed) {
        return typed.strip().toLowerCase(Locale.ROOT);
    }

    // ---- what a person sets for themselves ----

    /**
     * Changes the password.
     *
     * @throws Problem.Invalid if the present one is wrong, or the new one is not taken
     */
    public void changePassword(int actor, String present, String next, String address) {
        String login = login(actor);
        if (password(login, present, address).isEmpty()) {
            throw new Problem.Invalid(Fault.parameter("present", "wrong", "This is not your present password."));
        }
        asProgram(true, dsl -> {
            String title = dsl.select(ACTOR.TITLE)
                    .from(ACTOR)
                    .where(ACTOR.ACTOR_ID.eq(actor))
                    .fetchSingle(ACTOR.TITLE);
            passwords.fault(next, List.of(login, title)).ifPresent(fault -> {
                throw new Problem.Invalid(fault);
            });
            dsl.update(ACCOUNT)
                    .set(ACCOUNT.PASSWORD_HASH, passwords.hash(next))
                    .set(ACCOUNT.PASSWORD_SET_AT, OffsetDateTime.now(clock))
                    .where(ACCOUNT.ACTOR_ID.eq(actor))
                    .execute();
            tries.right(dsl, login);
            byThemselves(dsl, actor, AuditNote.of("set", "person").detail(Map.of("what", "password")));
            return actor;
        });
    }

    /** A secret for one-time codes, not yet in use: it is when a first code of it was typed. */
    public byte[] newSecret() {
        return OneTimeCode.secret();
    }

    /** The secret as it is typed into a phone, in groups of four. */
    public static String typed(byte[] secret) {
        return OneTimeCode.base32(secret).replaceAll("(.{4})(?=.)", "$1 ");
    }

    /** The secret as dots for the camera of a phone. */
    public BitMatrix dots(byte[] secret, int actor) {
        return OneTimeCode.dots(secret, login(actor));
    }

    /**
     * Takes one-time codes into use, once a first code was typed.
     *
     * @return the recovery codes, shown once
     * @throws Problem.Invalid if the code is not of this secret
     */
    public List<String> useCodes(int actor, byte[] secret, String code) {
        return asProgram(true, dsl -> {
            OptionalLong step = OneTimeCode.step(secret, code, clock.instant());
            if (step.isEmpty()) {
                throw new Problem.Invalid(Fault.parameter(
                        "code",
                        "wrong",
                        "This is not the code of this moment. Look again; is the clock of the phone right?"));
            }
            dsl.update(ACCOUNT)
                    .set(ACCOUNT.SECOND_FACTOR, keys.seal(place(actor), secret))
                    .set(ACCOUNT.SECOND_FACTOR_STEP, step.getAsLong())
                    .where(ACCOUNT.ACTOR_ID.eq(actor))
                    .execute();
            dsl.deleteFrom(RECOVERY_CODE)
                    .where(RECOVERY_CODE.ACTOR_ID.eq(actor))
                    .execute();
            List<String> codes = new ArrayList<>();
            for (int i = 0; i < RECOVERY_CODES; i++) {
                String fresh = OneTimeCode.base32(OneTimeCode.secret());
                dsl.insertInto(RECOVERY_CODE)
                        .set(RECOVERY_CODE.ACTOR_ID, actor)
                        .set(RECOVERY_CODE.CODE_HASH, Secret.hash(fresh))
                        .execute();
                codes.add(fresh.replaceAll("(.{4})(?=.)", "$1-"));
            }
            byThemselves(dsl, actor, AuditNote.of("set", "person").detail(Map.of("what", "one-time codes")));
            return codes;
        });
    }

    /** What a person did for themselves stands in the audit in their name; it is the last thing of a transaction. */
    private static void byThemselves(DSLContext dsl, int actor, AuditNote note) {
        dsl.execute("select access.enter({0})", DSL.val(actor));
        note.about(actor).write(dsl);
    }

    private static Record account(DSLContext dsl, int actor) {
        return dsl.selectFrom(ACCOUNT).where(ACCOUNT.ACTOR_ID.eq(actor)).fetchSingle();
    }

    static String place(int actor) {
        return "access.account|" + actor + "|second_factor";
    }

    private <T> T asProgram(boolean write, java.util.function.Function<DSLContext, T> work) {
        return Acting.asProgram(() -> write ? transactions.write(work) : transactions.read(work));
    }
}
