package airway.registry.verify;

import static airway.sql.generated.audit.Tables.FINDINGS;

import airway.registry.database.ActorTransactions;
import java.util.List;
import org.springframework.stereotype.Component;

/** Compares everything that is stored with what should hold; changes nothing. */
@Component
public class Verification {
    private final ActorTransactions transactions;

    Verification(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /** All findings, by unit and thing; empty when all is well. */
    public List<Finding> findings() {
        var found = FINDINGS.call();
        return transactions.read(dsl -> dsl.selectFrom(found)
                .fetch(row -> new Finding(
                        row.get(found.SITE),
                        row.get(found.OBJECT),
                        row.get(found.OBJECT_ID),
                        row.get(found.VERSION),
                        row.get(found.FINDING),
                        row.get(found.DETAIL))));
    }
}
