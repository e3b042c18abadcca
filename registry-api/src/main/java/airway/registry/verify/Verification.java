package airway.registry.verify;

import static airway.sql.generated.audit.Tables.FINDINGS;

import airway.registry.audit.Chain;
import airway.registry.audit.ChainFault;
import airway.registry.audit.Checked;
import airway.registry.database.ActorTransactions;
import java.util.List;
import java.util.stream.Stream;
import org.springframework.stereotype.Component;

/**
 * Compares everything that is stored with what should hold. Changes nothing but that the audit has an entry more: that it
 * was verified.
 */
@Component
public class Verification {
    private final ActorTransactions transactions;
    private final Chain chain;

    Verification(ActorTransactions transactions, Chain chain) {
        this.transactions = transactions;
        this.chain = chain;
    }

    /**
     * What was found.
     *
     * @param findings each as a sentence, those of the audit's chain first; empty when all is well
     * @param reach how far the chain over the audit reaches, as a sentence
     */
    public record Report(List<String> findings, String reach) {}

    /** Looks at everything. */
    public Report report() {
        Checked checked = chain.verify();
        return new Report(
                Stream.concat(
                                checked.faults().stream().map(ChainFault::words),
                                findings().stream().map(Finding::words))
                        .toList(),
                checked.words());
    }

    /** All findings about what is recorded, by unit and thing; empty when all is well. */
    private List<Finding> findings() {
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
