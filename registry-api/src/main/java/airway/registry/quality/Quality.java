package airway.registry.quality;

import airway.registry.access.Site;
import airway.registry.database.ActorTransactions;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** How good the data of a unit are, and the counts of other sources that say how complete. */
@Component
class Quality {
    private final ActorTransactions transactions;

    Quality(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    Overview look(Site site, YearMonth from, YearMonth to) {
        return transactions.read(dsl -> Overview.read(new QualityQuery(dsl, site, from, to), from, to));
    }

    /** Keeps a count of one month; one that is there already is not kept twice. */
    void count(Site site, YearMonth month, int counted) {
        transactions.write(dsl -> {
            keep(new QualityQuery(dsl, site, month, month), month, counted, null);
            return month;
        });
    }

    /**
     * What came of comparing a log.
     *
     * @param unmatched entries without a record
     * @param records intubations recorded in the months of the log
     */
    record Compared(int entries, List<LogMatch.Entry> unmatched, int records) {}

    /** Compares a log with the records, and keeps for each month how many entries it had and how many were found. */
    Compared compare(Site site, LogForm.Log log) {
        return transactions.write(dsl -> {
            QualityQuery query = new QualityQuery(dsl, site, log.from(), log.to());
            List<LogMatch.Start> starts = query.starts();
            Set<Integer> matched = LogMatch.matched(log.entries(), starts, log.window(), site.zone());
            for (YearMonth month = log.from(); !month.isAfter(log.to()); month = month.plusMonths(1)) {
                YearMonth here = month;
                Predicate<LogMatch.Entry> ofMonth =
                        entry -> YearMonth.from(entry.day()).equals(here);
                List<LogMatch.Entry> entries =
                        log.entries().stream().filter(ofMonth).toList();
                int found = (int) entries.stream()
                        .filter(entry -> matched.contains(entry.row()))
                        .count();
                keep(query, month, entries.size(), found);
            }
            List<LogMatch.Entry> unmatched = new ArrayList<>(log.entries());
            unmatched.removeIf(entry -> matched.contains(entry.row()));
            int records = (int) starts.stream()
                    .map(start -> YearMonth.from(start.at().atZone(site.zone())))
                    .filter(month -> !month.isBefore(log.from()) && !month.isAfter(log.to()))
                    .count();
            return new Compared(log.entries().size(), unmatched, records);
        });
    }

    private static void keep(QualityQuery query, YearMonth month, int counted, @Nullable Integer matched) {
        Capture there = query.captures().get(month);
        if (there == null || there.counted() != counted || !Objects.equals(there.matched(), matched)) {
            query.add(month, counted, matched);
        }
    }
}
