package airway.registry.encounter;

import java.math.BigDecimal;
import java.util.Map;
import java.util.Optional;

/** What a unit usually gives, by its own records; never a recommendation. */
interface Doses {
    /** Nothing is known yet. */
    Doses NONE = (agent, unit) -> Optional.empty();

    /** Fewer records say nothing about what is usual. */
    int FEWEST = 20;

    /** How much of the smallest unit a unit is; volumes stay apart, since nobody knows their strength. */
    Map<String, BigDecimal> IN_NANOGRAMS = Map.of(
            "mg", new BigDecimal("1000000"),
            "ug", new BigDecimal("1000"),
            "ng", BigDecimal.ONE);

    /**
     * Median dose per kilogram over {@link #FEWEST} or more records.
     *
     * @param agent the drug
     * @param unit in which the answer is given: mg, ug, ng or mL
     */
    Optional<BigDecimal> medianPerKg(String agent, String unit);
}
