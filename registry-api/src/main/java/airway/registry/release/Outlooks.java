package airway.registry.release;

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
        return transactions.read(dsl -> {
            OutlookForm.Asked asked = OutlookForm.read(parameters, Sites.all(dsl));
            CandidateQuery.Found found = CandidateQuery.of(dsl, asked.cohort());
            return Outlook.of(asked.profile(), asked.variables(), found.source(), found.matching());
        });
    }
}
