package airway.registry.encounter;

import airway.registry.access.Site;
import airway.registry.identity.HospitalNumber;
import airway.registry.identity.HospitalNumbers;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/**
 * The box for the hospital number on the record page. What was typed is never shown to somebody who opens the page
 * later: the page then carries it covered, and an empty box stands for what is covered.
 */
@Component
@ConditionalOnWebApplication
class NumberBox {
    static final String FIELD = "hospital_number";
    private static final String COVERED = "hospital_number_covered";
    private static final String OUT = "hospital_number_out";
    private static final String LOST = "hospital_number_lost";

    private final HospitalNumbers numbers;

    NumberBox(HospitalNumbers numbers) {
        this.numbers = numbers;
    }

    /** A draft as its page carries it: what was typed is covered. */
    Typed covered(Site site, Typed kept) {
        String typed = kept.one(FIELD);
        return typed == null ? kept : kept.without(FIELD).with(COVERED, numbers.covered(site, typed));
    }

    /** A form as it is judged and kept, never as it is shown: what is covered stands in the box again. */
    Typed uncovered(Site site, Typed form) {
        String covered = form.one(COVERED);
        Typed bare = form.without(COVERED);
        if (covered == null || form.one(FIELD) != null || form.has(OUT, "yes")) {
            return bare;
        }
        return numbers.uncovered(site, covered)
                .map(typed -> bare.with(FIELD, typed))
                .orElseGet(() -> bare.with(LOST, "yes"));
    }

    /** The last figures of what is covered, or null. */
    @Nullable
    String ending(Site site, Typed form) {
        return Optional.ofNullable(form.one(COVERED))
                .flatMap(covered -> numbers.uncovered(site, covered))
                .filter(typed -> HospitalNumber.fault(typed) == null)
                .map(typed -> HospitalNumber.of(typed).ending())
                .filter(ending -> !ending.isEmpty())
                .orElse(null);
    }

    /** Whether a number is kept with a record. */
    boolean kept(Recorded record) {
        return numbers.kept(record.site(), record.id());
    }

    /** What is to be mended at the box of an uncovered form, or null; never repeats what was typed. */
    static @Nullable String fault(Typed form) {
        String typed = form.one(FIELD);
        if (form.has(LOST, "yes")) {
            return "The number that was typed before cannot be read any more: type it again, or take it out.";
        }
        if (typed == null) {
            return null;
        }
        return form.has(OUT, "yes")
                ? "Either a number or \"Take it out\": leave one of the two out."
                : HospitalNumber.fault(typed);
    }

    /** What an uncovered form without faults says about the number, to be kept with the record. */
    Beside beside(Typed form) {
        String typed = form.one(FIELD);
        if (typed != null) {
            return new Entered(HospitalNumber.of(typed));
        }
        return form.has(OUT, "yes") && form.amends() != null ? new TakenOut() : Beside.NOTHING;
    }

    private final class Entered implements Beside {
        private final HospitalNumber number;

        Entered(HospitalNumber number) {
            this.number = number;
        }

        @Override
        public void keep(DSLContext dsl, UUID record) {
            numbers.keep(dsl, record, number);
        }

        @Override
        public boolean isKept(DSLContext dsl, UUID record) {
            return numbers.has(dsl, record, number);
        }
    }

    private final class TakenOut implements Beside {
        @Override
        public void keep(DSLContext dsl, UUID record) {
            numbers.takeOut(dsl, record);
        }

        @Override
        public boolean isKept(DSLContext dsl, UUID record) {
            return true;
        }
    }
}
