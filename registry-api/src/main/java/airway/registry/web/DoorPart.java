package airway.registry.web;

import org.springframework.security.config.annotation.web.builders.HttpSecurity;

/** Another way to prove who one is, added to the door where the settings ask for it. */
@FunctionalInterface
public interface DoorPart {
    void add(HttpSecurity http);
}
