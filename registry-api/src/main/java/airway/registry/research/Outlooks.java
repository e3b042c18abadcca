package airway.registry.research;

import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import java.util.List;
import java.util.Map;
import org.springframework.stereotype.Component;

/** Says what research data would be like, and whether a child could be recognised in them, before any are made. */
@Component
class Outlooks {
    private final ActorTransactions transactions;

    Outlooks(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /**
     * What data would be like.
     *
     * @throws Problem.NeverLeaves if it names what is in no package
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    Outlook of(Map<String, List<String>> parameters) {
        return see(parameters).outlook();
    }

    /** An outlook, and what it is of. */
    record Seen(Choice choice, Outlook outlook) {}

    /** The same, with what was asked for as it was understood. */
    Seen see(Map<String, List<String>> parameters) {
        return transactions.read(dsl -> {
            Choice choice = OutlookForm.read(parameters, Sites.all(dsl));
            return new Seen(choice, Judgement.of(dsl, choice, null).outlook());
        });
    }
}
