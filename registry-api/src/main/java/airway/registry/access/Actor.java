package airway.registry.access;

import org.jspecify.annotations.Nullable;

/** Who acts: the grade and experience offered when the actor held the laryngoscope. */
public record Actor(
        String title,
        @Nullable String operatorGrade,
        @Nullable String operatorExperience) {}
