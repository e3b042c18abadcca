package airway.registry.access;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/**
 * What one must be allowed to do for this page or answer: one of the rights, and no rights for anybody who is signed in.
 * What carries neither this nor {@link Open} is closed to everybody.
 */
@Retention(RetentionPolicy.RUNTIME)
@Target({ElementType.METHOD, ElementType.TYPE})
public @interface Needs {
    Right[] value();
}
