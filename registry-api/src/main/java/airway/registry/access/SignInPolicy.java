package airway.registry.access;

import java.time.Duration;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;

/** What the settings say about signing in: for which roles a one-time code is needed, and how long a session lasts. */
@Component
public class SignInPolicy {
    /** A session ends after this, used or not. */
    public static final Duration LONGEST = Duration.ofHours(8);

    private final Set<Role> secondFactorFor;
    private final boolean demo;

    SignInPolicy(
            @Value("${airway.sign-in.second-factor-for:#{null}}") @Nullable List<String> roles,
            @Value("${airway.demo}") boolean demo) {
        this.demo = demo;
        this.secondFactorFor = roles == null
                ? Stream.of(Role.values()).filter(Role::secondFactor).collect(Collectors.toSet())
                : roles.stream()
                        .map(code -> Role.of(code)
                                .orElseThrow(() -> new RefusedByPolicy("airway.sign-in.second-factor-for names roles,"
                                        + " for example administrator,auditor; there is no role " + code + ".")))
                        .collect(Collectors.toCollection(() -> EnumSet.noneOf(Role.class)));
    }

    /** Whether the person must set up one-time codes before doing anything else. */
    public boolean codesMissing(Person person) {
        return !demo && !person.token() && !person.secondFactor() && person.needsSecondFactor(secondFactorFor);
    }

    /** Without use a session of this person ends after this: the shortest of the roles. */
    public static Duration idle(Person person) {
        return person.roles().stream().map(Role::idle).min(Duration::compareTo).orElse(Role.KIT_KEEPER.idle());
    }

    /** The roles that need a one-time code. */
    public Set<Role> secondFactorFor() {
        return Set.copyOf(secondFactorFor);
    }
}
