package airway.registry.testing;

import airway.sql.TestDatabase;
import org.springframework.test.context.DynamicPropertyRegistry;
import org.springframework.test.context.DynamicPropertySource;

/**
 * The program that all tests share which need no database of their own; each test makes a unit and so sees its own
 * records alone.
 */
public abstract class ServedRegistry extends ServedProgram {
    protected static final TestDatabase.Logins LOGINS = TestDatabase.fresh();

    @Override
    protected TestDatabase.Logins logins() {
        return LOGINS;
    }

    @DynamicPropertySource
    static void database(DynamicPropertyRegistry settings) {
        database(settings, LOGINS, "target/test-keys");
    }
}
