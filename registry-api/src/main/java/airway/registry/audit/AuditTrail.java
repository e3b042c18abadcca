package airway.registry.audit;

import airway.registry.database.ActorTransactions;
import java.util.List;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** The entries of the audit to be read, newest first. */
@Component
class AuditTrail {
    static final int ROWS_A_PAGE = 50;

    private final ActorTransactions transactions;

    AuditTrail(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /**
     * A page of the list.
     *
     * @param next the place where the next page begins; null on the last one
     */
    record Page(List<AuditLine> lines, @Nullable Long next) {}

    Page page(AuditFilter filter, @Nullable Long after) {
        List<AuditLine> lines = transactions.read(dsl -> new AuditQuery(dsl).page(filter, after, ROWS_A_PAGE + 1));
        return lines.size() > ROWS_A_PAGE
                ? new Page(
                        lines.subList(0, ROWS_A_PAGE),
                        lines.get(ROWS_A_PAGE - 1).id())
                : new Page(lines, null);
    }

    /** Everybody who acts or acted, by name. */
    List<AuditLine.Who> actors() {
        return transactions.read(dsl -> new AuditQuery(dsl).actors());
    }

    /** Hands over every entry of the filter, all as they are at one moment. */
    void each(AuditFilter filter, Consumer<AuditLine> reader) {
        transactions.read(dsl -> {
            new AuditQuery(dsl).each(filter, reader);
            return filter;
        });
    }
}
