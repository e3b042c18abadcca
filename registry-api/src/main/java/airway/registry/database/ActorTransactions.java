package airway.registry.database;

import airway.registry.problem.Problem;
import java.sql.SQLException;
import java.util.List;
import java.util.function.Function;
import javax.sql.DataSource;
import org.jooq.DSLContext;
import org.jooq.SQLDialect;
import org.jooq.conf.Settings;
import org.jooq.exception.DataAccessException;
import org.jooq.impl.DSL;
import org.springframework.stereotype.Component;

/**
 * The only way to the database: every transaction begins by saying who acts, and sees the units of that actor alone.
 */
/*
 * There is no DSLContext to be injected anywhere: SQL cannot be run outside these two methods, so it cannot be run
 * without a scope. The database holds the same line by itself: without a scope no row is visible.
 */
@Component
public class ActorTransactions {
    private static final String CONNECTION_EXCEPTION = "08";
    private static final String OPERATOR_INTERVENTION = "57";
    private static final String INSUFFICIENT_RESOURCES = "53";

    private final DSLContext dsl;

    ActorTransactions(DataSource dataSource) {
        Settings settings = new Settings().withRenderSchema(true).withExecuteLogging(false);
        this.dsl = DSL.using(dataSource, SQLDialect.POSTGRES, settings);
    }

    /** Runs the work in one transaction: all of it is kept, or none. */
    public <T> T write(Function<DSLContext, T> work) {
        return run(false, work);
    }

    /** Runs the work in one read-only transaction: all its queries see the same moment. */
    public <T> T read(Function<DSLContext, T> work) {
        return run(true, work);
    }

    private <T> T run(boolean readOnly, Function<DSLContext, T> work) {
        Acting.Scope scope = Acting.current();
        List<String> roles = scope.roles();
        try {
            return dsl.transactionResult(transaction -> {
                DSLContext inside = transaction.dsl();
                if (readOnly) {
                    inside.execute("set transaction isolation level repeatable read, read only");
                }
                inside.execute(
                        "select access.enter({0}, {1}, {2})",
                        DSL.val(scope.actor()),
                        DSL.val(roles == null ? null : roles.toArray(String[]::new), String[].class),
                        DSL.val(scope.everywhere()));
                return work.apply(inside);
            });
        } catch (DataAccessException e) {
            if (databaseIsAway(e)) {
                throw new Problem.Unavailable(e);
            }
            throw e;
        }
    }

    private static boolean databaseIsAway(DataAccessException e) {
        String state = e.sqlState();
        SQLException cause = e.getCause(SQLException.class);
        return state.startsWith(CONNECTION_EXCEPTION)
                || state.startsWith(OPERATOR_INTERVENTION)
                || state.startsWith(INSUFFICIENT_RESOURCES)
                || cause instanceof java.sql.SQLTransientConnectionException;
    }
}
