package airway.registry.encounter;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;

/** Limits outside which a weight is worth a second look: far outside what is normal, and no judgement of growth. */
/*
 * To five years: 6 standard deviations under and 5 over the median, the limits at which the WHO flags a weight as
 * biologically implausible; from its parameters for boys (2006), and for boys and girls at 5, 7 and 10 years (2007). Of
 * both sexes the wider, then widened to the round figures below. From ten years half the 3rd and twice the 97th
 * percentile of boys (CDC 2000). Preterm: half and twice the median for boys at that gestation (Fenton 2013). Between
 * the rows a straight line. Parameters read in the published data files of the WHO and CDC and, for Fenton, in a
 * public table of median weights; halving, doubling and widening are ours.
 */
final class WeightForAge {
    static final String SOURCE = "WHO growth standards 2006 and reference 2007, CDC growth charts 2000, Fenton 2013 BMC"
            + " Pediatr 13:59; widened, see the table below";

    /** A row of limits: age in days, or gestation in days where it is before term; weights in kilograms. */
    record Row(int days, double least, double most) {}

    private static final Row[] FROM_TERM = {
        new Row(0, 0.9, 6.5),
        new Row(30, 1.4, 8.5),
        new Row(91, 2.4, 11.5),
        new Row(182, 3.2, 14),
        new Row(365, 4, 17),
        new Row(548, 4.5, 20),
        new Row(1_826, 6.7, 40),
        new Row(2_557, 8, 54),
        new Row(3_652, 10, 99),
        new Row(4_580, 15, 134),
        new Row(5_676, 20, 175)
    };

    private static final Row[] BEFORE_TERM = {
        new Row(154, 0.24, 0.96),
        new Row(168, 0.33, 1.32),
        new Row(196, 0.55, 2.2),
        new Row(224, 0.89, 3.56),
        new Row(252, 1.37, 5.48),
        new Row(280, 1.78, 6.5)
    };

    private static final int TERM = 280;
    private static final int PRETERM_UNDER = 259;
    private static final int YEAR = 365;

    /** Where the gestation is not known, a young baby may have been born as early as this. */
    private static final int EARLIEST = 161;

    private WeightForAge() {}

    static Row[] fromTerm() {
        return FROM_TERM.clone();
    }

    static Row[] beforeTerm() {
        return BEFORE_TERM.clone();
    }

    /**
     * Whether a weight is unlikely.
     *
     * @param ageDays completed days of life
     * @param gestationDays at birth; null when not known
     */
    static boolean unlikely(BigDecimal weightKg, int ageDays, @Nullable Integer gestationDays) {
        double weight = weightKg.doubleValue();
        return weight < least(ageDays, gestationDays) || weight > most(ageDays, gestationDays);
    }

    private static double least(int ageDays, @Nullable Integer gestationDays) {
        int gestation = gestationDays != null ? gestationDays : ageDays <= YEAR ? EARLIEST : TERM;
        if (gestation >= PRETERM_UNDER) {
            return between(FROM_TERM, ageDays).least();
        }
        int corrected = ageDays - (TERM - gestation);
        double birth = between(BEFORE_TERM, gestation).least();
        return corrected < 0
                ? birth
                : Math.max(birth, between(FROM_TERM, corrected).least());
    }

    private static double most(int ageDays, @Nullable Integer gestationDays) {
        if (ageDays > FROM_TERM[FROM_TERM.length - 1].days()) {
            return Double.POSITIVE_INFINITY;
        }
        return gestationDays != null && gestationDays + ageDays < PRETERM_UNDER
                ? between(BEFORE_TERM, gestationDays + ageDays).most()
                : between(FROM_TERM, ageDays).most();
    }

    private static Row between(Row[] rows, int days) {
        if (days <= rows[0].days()) {
            return rows[0];
        }
        for (int i = 1; i < rows.length; i++) {
            Row low = rows[i - 1];
            Row high = rows[i];
            if (days <= high.days()) {
                double part = (double) (days - low.days()) / (high.days() - low.days());
                return new Row(
                        days,
                        low.least() + part * (high.least() - low.least()),
                        low.most() + part * (high.most() - low.most()));
            }
        }
        return rows[rows.length - 1];
    }
}
