package airway.registry.release;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.LocalDate;
import java.time.YearMonth;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;
import org.springframework.stereotype.Component;

/** Tables of counts for those who may not read the records. What was told stays told: nothing is changed or taken back. */
@Component
class Tables {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);

    private final ActorTransactions transactions;
    private final Clock clock;

    Tables(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /**
     * The table as it could be told now; nothing is kept.
     *
     * @throws Problem.Malformed with every parameter that cannot be taken
     * @throws Problem.TooSmall if there are too few cases
     * @throws Problem.GivesAway if it would give a small number away
     */
    CountTable preview(Map<String, List<String>> parameters) {
        return transactions.read(dsl -> table(dsl, parameters));
    }

    /**
     * Tells a table: from here on it is remembered. Refuses as {@link #preview}.
     *
     * @throws Problem.Invalid if it is not said who is told and what for
     */
    ToldTable tell(Map<String, List<String>> parameters) {
        return transactions.write(dsl -> {
            TableStore store = new TableStore(dsl);
            store.hold(asked(dsl, parameters).spec().site());
            TableForm.Told told = TableForm.told(parameters);
            UUID id = UUID.randomUUID();
            store.insert(id, table(dsl, parameters), told.recipient(), told.purpose());
            return store.find(id).orElseThrow();
        });
    }

    /** What a unit has told, the newest first. */
    List<ToldTable> all(Site site) {
        return transactions.read(dsl -> new TableStore(dsl).all(site));
    }

    /**
     * A table that was told.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    ToldTable read(UUID id) {
        return transactions.read(dsl -> new TableStore(dsl).find(id).orElseThrow(() -> new Problem.Missing("table")));
    }

    /** The last month that is wholly past. */
    YearMonth lastMonth(Site site) {
        return YearMonth.from(LocalDate.ofInstant(clock.instant(), site.zone())).minusMonths(1);
    }

    private TableForm.Asked asked(DSLContext dsl, Map<String, List<String>> parameters) {
        List<Site> sites = Sites.all(dsl);
        YearMonth now = sites.stream()
                .map(site -> lastMonth(site).plusMonths(1))
                .min(YearMonth::compareTo)
                .orElseThrow(() -> new Problem.Missing("unit"));
        return TableForm.read(parameters, sites, now);
    }

    private CountTable table(DSLContext dsl, Map<String, List<String>> parameters) {
        TableForm.Asked asked = asked(dsl, parameters);
        List<ToldTable> earlier = new TableStore(dsl)
                .all(asked.spec().site()).stream()
                        .filter(told -> asked.spec()
                                .counting()
                                .nests(told.table().spec().counting()))
                        .toList();
        List<TableSpec> specs = new ArrayList<>(List.of(asked.spec()));
        earlier.forEach(told -> specs.add(told.table().spec()));
        List<FactRow> rows = TableQuery.rows(dsl, specs);
        CountTable table = CountTable.of(asked.spec(), asked.audience(), rows);
        Optional<ToldTable> with = Differencing.givenAwayWith(table, earlier, rows);
        if (with.isPresent()) {
            throw new Problem.GivesAway("Subtracted from \u201c"
                    + with.get().table().spec().counting().title()
                    + "\u201d, told on "
                    + DAY.format(with.get().at().atZone(asked.spec().site().zone()))
                    + ", it would tell a number that is too small to be told. Tell that table again, or choose the same"
                    + " period, lines and filters, or wait until more cases have come.");
        }
        return table;
    }
}
