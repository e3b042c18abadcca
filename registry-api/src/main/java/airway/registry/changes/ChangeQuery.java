package airway.registry.changes;

import static airway.sql.generated.changes.Tables.VERSION;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.sql.generated.changes.tables.VersionTable;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.UUID;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jooq.impl.DSL;

/** Reads changes out of a running transaction. */
final class ChangeQuery {
    private final DSLContext dsl;

    ChangeQuery(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** The changes of a unit that stand, or those that were withdrawn, in order of their days. */
    List<Kept> all(Site site, boolean withdrawn) {
        VersionTable later = VERSION.as("later");
        Condition newest = DSL.notExists(DSL.selectOne()
                .from(later)
                .where(
                        later.SITE_ID.eq(VERSION.SITE_ID),
                        later.CHANGE_ID.eq(VERSION.CHANGE_ID),
                        later.VERSION_.gt(VERSION.VERSION_)));
        return dsl.selectFrom(VERSION)
                .where(
                        VERSION.SITE_ID.eq(site.no()),
                        newest,
                        withdrawn ? VERSION.STATUS.eq(Kept.WITHDRAWN) : VERSION.STATUS.ne(Kept.WITHDRAWN))
                .orderBy(VERSION.CHANGED_ON, VERSION.NAME, VERSION.CHANGE_ID)
                .fetch(row -> kept(site, row));
    }

    /** Every version of a change, the first one first; empty where there is none in the units in scope. */
    List<Kept> versions(UUID id) {
        Map<Short, Site> sites = Sites.all(dsl).stream().collect(Collectors.toMap(Site::no, Function.identity()));
        return dsl.selectFrom(VERSION)
                .where(VERSION.CHANGE_ID.eq(id))
                .orderBy(VERSION.VERSION_)
                .fetch(row -> kept(Objects.requireNonNull(sites.get(row.get(VERSION.SITE_ID))), row));
    }

    private static Kept kept(Site site, Record row) {
        String code = row.get(VERSION.REASON_CODE);
        return new Kept(
                site,
                new Change(
                        row.get(VERSION.CHANGE_ID),
                        row.get(VERSION.CHANGED_ON),
                        row.get(VERSION.NAME),
                        row.get(VERSION.REASON),
                        row.get(VERSION.CUTS_CHART)),
                row.get(VERSION.VERSION_),
                row.get(VERSION.STATUS),
                code == null ? null : new Amendment(Amendment.Code.of(code), row.get(VERSION.REASON_TEXT)),
                row.get(VERSION.WRITTEN_AT).toInstant());
    }
}
