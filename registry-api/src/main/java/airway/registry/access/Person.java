package airway.registry.access;

import airway.registry.database.Acting;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * Who sent a request: a person signed in, or a token of another program, with the roles of this moment.
 *
 * @param actor key of the actor
 * @param title what the actor is called on screens
 * @param login the name typed at the sign-in; empty for a token
 * @param roles the roles held in at least one unit, or beside the units
 * @param token whether it is a token and not a person
 * @param secondFactor whether the person has a second factor, so that a code is asked for at the sign-in
 */
public record Person(int actor, String title, String login, Set<Role> roles, boolean token, boolean secondFactor) {
    /** Under this name a request carries the person who sent it. */
    public static final String SIGNED_IN = "airway.person";

    public Person {
        roles = Set.copyOf(roles);
    }

    /** Whether one of the rights is held anywhere; always for no rights at all. */
    public boolean may(Right... rights) {
        return rights.length == 0
                || roles.stream().anyMatch(role -> Arrays.stream(rights).anyMatch(role::may));
    }

    /** The scope for something that needs one of these rights: the units where it is held. */
    public Acting.Scope scope(Right... rights) {
        List<String> allowing =
                rights.length == 0 ? roles.stream().map(Role::code).toList() : Role.with(rights);
        return new Acting.Scope(
                actor, allowing, rights.length > 0 && Arrays.stream(rights).allMatch(Right::everywhere));
    }

    /** Whether a role of the person must not be used without a second factor. */
    public boolean needsSecondFactor(Set<Role> asked) {
        return roles.stream().anyMatch(asked::contains);
    }

    /** What the person is, in words. */
    public String roleWords() {
        return roles.stream()
                .sorted(Comparator.naturalOrder())
                .map(role -> role.title())
                .collect(Collectors.joining(", "));
    }
}
