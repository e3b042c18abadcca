package airway.registry.research;

import airway.registry.access.Role;
import airway.registry.database.Acting;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.Tester;
import airway.sql.TestDatabase;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.UUID;

/** A request for data with a yes, for tests that begin where the package is made. */
public final class ApprovedRequest {
    private ApprovedRequest() {}

    /** Asks for first passes in the first unit and says yes, as two people. */
    public static UUID of(TestDatabase.Logins logins, String unit, String approval, String expires) {
        try (OpenRegistry registry = OpenRegistry.on(logins)) {
            Requests requests = registry.bean(Requests.class);
            UUID id = as(
                    logins,
                    Role.RESEARCHER,
                    () -> requests.ask(Map.of(
                                    "site_id", List.of(unit),
                                    "variables", List.of("age_days", "fps"),
                                    "purpose", List.of("First passes"),
                                    "recipient", List.of("Project"),
                                    "approval_reference", List.of(approval),
                                    "approval_expires", List.of(expires)))
                            .id());
            return as(logins, Role.DATA_GUARDIAN, () -> {
                Requests.Looked looked = requests.look(id);
                Outlook.Plan plan =
                        java.util.Objects.requireNonNull(looked.outlook().plan());
                OptionalInt loss = plan.lossToAccept();
                return requests.approve(id, 1, looked.digest(), loss.isPresent() ? loss.getAsInt() : null)
                        .id();
            });
        }
    }

    private static UUID as(TestDatabase.Logins logins, Role role, java.util.function.Supplier<UUID> work) {
        Tester person = Tester.fresh(logins).with((short) 1, role);
        return Acting.as(new Acting.Scope(person.actor(), List.of(role.code()), false), work);
    }
}
