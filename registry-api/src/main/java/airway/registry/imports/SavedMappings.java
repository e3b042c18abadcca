package airway.registry.imports;

import static airway.sql.generated.imports.Tables.MAPPING;

import airway.registry.access.Site;
import airway.registry.database.ActorTransactions;
import java.util.List;
import java.util.Optional;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;
import org.springframework.stereotype.Component;

/** The mappings that a unit has used, by source. Saving again makes a new version; the newest counts. */
@Component
class SavedMappings {
    private final ActorTransactions transactions;

    SavedMappings(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /** The sources that a unit has a mapping of, by name. */
    List<String> sources(Site site) {
        return transactions.read(dsl -> dsl.selectDistinct(MAPPING.SOURCE)
                .from(MAPPING)
                .where(MAPPING.SITE_ID.eq(site.no()))
                .orderBy(MAPPING.SOURCE)
                .fetch(MAPPING.SOURCE));
    }

    /** The mapping of a source as it was typed. */
    Optional<String> newest(Site site, String source) {
        return transactions.read(dsl -> newest(dsl, site, source));
    }

    /** Saves a mapping unless it says what the newest says. */
    void save(Site site, String source, String body) {
        transactions.write(dsl -> {
            int added = 0;
            while (added == 0 && !newest(dsl, site, source).equals(Optional.of(body))) {
                added = dsl.insertInto(MAPPING, MAPPING.SITE_ID, MAPPING.SOURCE, MAPPING.VERSION, MAPPING.BODY)
                        .select(dsl.select(
                                        DSL.val(site.no()),
                                        DSL.val(source),
                                        DSL.coalesce(DSL.max(MAPPING.VERSION), 0)
                                                .plus(1),
                                        DSL.val(body))
                                .from(MAPPING)
                                .where(MAPPING.SITE_ID.eq(site.no()), MAPPING.SOURCE.eq(source)))
                        .onConflictDoNothing()
                        .execute();
            }
            return added;
        });
    }

    private static Optional<String> newest(DSLContext dsl, Site site, String source) {
        return dsl.select(MAPPING.BODY)
                .from(MAPPING)
                .where(MAPPING.SITE_ID.eq(site.no()), MAPPING.SOURCE.eq(source))
                .orderBy(MAPPING.VERSION.desc())
                .limit(1)
                .fetchOptional(MAPPING.BODY);
    }
}
