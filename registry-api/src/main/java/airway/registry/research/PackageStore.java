package airway.registry.research;

import static airway.sql.generated.research.Tables.FETCHED;
import static airway.sql.generated.research.Tables.LINK;
import static airway.sql.generated.research.Tables.PACKAGE;

import airway.registry.access.Secret;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.HexFormat;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;

/** Remembers which packages were made and fetched, inside a running transaction. */
final class PackageStore {
    private static final HexFormat HEX = HexFormat.of();

    private final DSLContext dsl;

    PackageStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Remembers a package, unless these very bytes were made before. */
    void made(DataRequest request, PackageFile.Written written, int rows, String software) {
        dsl.insertInto(PACKAGE)
                .set(PACKAGE.SITE_ID, request.site().no())
                .set(PACKAGE.REQUEST_ID, request.id())
                .set(PACKAGE.VERSION, request.version())
                .set(PACKAGE.SHA256, HEX.parseHex(written.sha256()))
                .set(PACKAGE.BYTES, written.bytes())
                .set(PACKAGE.ROW_COUNT, rows)
                .set(PACKAGE.SOFTWARE, software)
                .onConflictDoNothing()
                .execute();
    }

    void link(DataRequest request, PackageFile.Written written, String secret, Instant expires) {
        dsl.insertInto(LINK)
                .set(LINK.LINK_HASH, Secret.hash(secret))
                .set(LINK.SITE_ID, request.site().no())
                .set(LINK.REQUEST_ID, request.id())
                .set(LINK.VERSION, request.version())
                .set(LINK.SHA256, HEX.parseHex(written.sha256()))
                .set(LINK.EXPIRES_AT, expires.atOffset(ZoneOffset.UTC))
                .execute();
    }

    /**
     * What a link leads to.
     *
     * @param version the step of the request that approved it
     * @param sha256 of the file, in hexadecimal
     */
    record Target(UUID request, int version, String sha256) {}

    /** What a link of this person leads to while it serves. */
    Optional<Target> target(String secret, int actor, Instant now) {
        OffsetDateTime at = now.atOffset(ZoneOffset.UTC);
        return dsl.select(LINK.REQUEST_ID, LINK.VERSION, LINK.SHA256)
                .from(LINK)
                .leftAntiJoin(FETCHED)
                .on(FETCHED.LINK_HASH.eq(LINK.LINK_HASH))
                .where(LINK.LINK_HASH.eq(Secret.hash(secret)), LINK.MADE_BY.eq(actor), LINK.EXPIRES_AT.gt(at))
                .fetchOptional(row -> new Target(row.value1(), row.value2(), HEX.formatHex(row.value3())));
    }

    /** Uses a link up; false if somebody was faster. */
    boolean use(String secret, DataRequest request) {
        return dsl.insertInto(FETCHED)
                        .set(FETCHED.LINK_HASH, Secret.hash(secret))
                        .set(FETCHED.SITE_ID, request.site().no())
                        .set(FETCHED.REQUEST_ID, request.id())
                        .onConflictDoNothing()
                        .execute()
                == 1;
    }
}
