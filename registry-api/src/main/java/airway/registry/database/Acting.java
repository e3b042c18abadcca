package airway.registry.database;

import java.util.List;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/**
 * For whom the running thread acts. A thread that never said so acts for nobody and cannot reach the database: a request
 * acts for the one who signed in, everything else says that it is the program.
 */
public final class Acting {
    /**
     * Who acts, and on the strength of what.
     *
     * @param actor key of the actor
     * @param roles the roles that allow what is being done: the units in which the actor has one of them are seen; null
     *     for the program, which sees all
     * @param everywhere whether a role that stands beside the units opens all of them for this
     */
    public record Scope(int actor, @Nullable List<String> roles, boolean everywhere) {
        public Scope {
            roles = roles == null ? null : List.copyOf(roles);
        }
    }

    private static final Scope PROGRAM = new Scope(1, null, false);
    private static final ThreadLocal<@Nullable Scope> SCOPE = new ThreadLocal<>();

    private Acting() {}

    /** Does the work for somebody; what the thread was before, it is again afterwards. */
    public static <T> T as(Scope scope, Supplier<T> work) {
        Scope before = SCOPE.get();
        SCOPE.set(scope);
        try {
            return work.get();
        } finally {
            set(before);
        }
    }

    /** Does the work as the program itself, which sees all units. */
    public static <T> T asProgram(Supplier<T> work) {
        return as(PROGRAM, work);
    }

    /** From here on the thread acts for this scope, until {@link #end}; for the door of requests alone. */
    public static void begin(Scope scope) {
        SCOPE.set(scope);
    }

    /** The thread acts for nobody any more. */
    public static void end() {
        SCOPE.remove();
    }

    /** The scope of the thread. */
    public static Scope current() {
        Scope scope = SCOPE.get();
        if (scope == null) {
            throw new IllegalStateException("This thread acts for nobody, so it has no way to the database.");
        }
        return scope;
    }

    private static void set(@Nullable Scope scope) {
        if (scope == null) {
            SCOPE.remove();
        } else {
            SCOPE.set(scope);
        }
    }
}
