package airway.registry.testing;

import airway.registry.database.Acting;
import org.junit.platform.launcher.LauncherInterceptor;

/** A test that asks a room directly acts as the program. */
public final class ActingAsProgram implements LauncherInterceptor {
    @Override
    public <T> T intercept(Invocation<T> invocation) {
        return Acting.asProgram(invocation::proceed);
    }

    @Override
    public void close() {
        // Nothing is held.
    }
}
