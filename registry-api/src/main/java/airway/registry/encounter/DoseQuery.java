package airway.registry.encounter;

import static airway.sql.generated.encounter.Tables.DRUG;
import static airway.sql.generated.encounter.Tables.ENCOUNTER_;
import static airway.sql.generated.encounter.Tables.VERSION;

import airway.registry.access.Site;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.impl.DSL;

/** Doses of a unit as it recorded them, counted once for each drug and transaction. */
final class DoseQuery implements Doses {
    private static final String VOLUME = "mL";

    private final DSLContext dsl;
    private final Site site;
    private final Map<String, Optional<BigDecimal>> medians = new HashMap<>();

    DoseQuery(DSLContext dsl, Site site) {
        this.dsl = dsl;
        this.site = site;
    }

    @Override
    public Optional<BigDecimal> medianPerKg(String agent, String unit) {
        boolean volume = unit.equals(VOLUME);
        return medians.computeIfAbsent(agent + " " + volume, key -> median(agent, volume))
                .map(median -> volume ? median : median.divide(IN_NANOGRAMS.get(unit), MathContext.DECIMAL64));
    }

    private Optional<BigDecimal> median(String agent, boolean volume) {
        Field<BigDecimal> factor = DSL.choose(DRUG.DRUG_DOSE_UNIT)
                .when("mg", IN_NANOGRAMS.get("mg"))
                .when("ug", IN_NANOGRAMS.get("ug"))
                .otherwise(BigDecimal.ONE);
        Field<BigDecimal> perKg = DRUG.DRUG_DOSE.times(factor).divide(VERSION.WEIGHT_KG);
        return dsl.select(DSL.percentileCont(0.5).withinGroupOrderBy(perKg), DSL.count())
                .from(ENCOUNTER_)
                .join(VERSION)
                .on(
                        VERSION.SITE_ID.eq(ENCOUNTER_.SITE_ID),
                        VERSION.ENCOUNTER_ID.eq(ENCOUNTER_.ENCOUNTER_ID),
                        VERSION.VERSION_.eq(ENCOUNTER_.CURRENT_VERSION))
                .join(DRUG)
                .on(
                        DRUG.SITE_ID.eq(VERSION.SITE_ID),
                        DRUG.ENCOUNTER_ID.eq(VERSION.ENCOUNTER_ID),
                        DRUG.VERSION.eq(VERSION.VERSION_))
                .where(
                        ENCOUNTER_.SITE_ID.eq(site.no()),
                        VERSION.STATUS.ne("entered-in-error"),
                        VERSION.WEIGHT_KG.isNotNull(),
                        DRUG.DRUG_AGENT.eq(agent),
                        DRUG.DRUG_DOSE.gt(BigDecimal.ZERO),
                        volume ? DRUG.DRUG_DOSE_UNIT.eq(VOLUME) : DRUG.DRUG_DOSE_UNIT.ne(VOLUME))
                .fetchSingle(row -> row.value2() < FEWEST ? Optional.empty() : Optional.of(row.value1()));
    }
}
