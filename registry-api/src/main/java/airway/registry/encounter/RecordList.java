package airway.registry.encounter;

import airway.registry.access.Site;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** The records of a unit as a list, newest first. */
@Component
class RecordList {
    static final int ROWS_A_PAGE = 25;

    private final ActorTransactions transactions;

    RecordList(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /**
     * A page of the list.
     *
     * @param count of all records of the filter; one more than {@link RecordListQuery#MOST_COUNTED} stands for more
     * @param withdrawn how many records of the period were withdrawn
     * @param next where the next page begins; null on the last one
     * @param looser for an empty list, what taking one filter away would give
     */
    record Page(
            List<RecordLine> lines,
            int count,
            int withdrawn,
            @Nullable RecordCursor next,
            List<Looser> looser) {}

    /** A filter that could be taken away, and how many records there would be. */
    record Looser(RecordFilter.Part part, int count) {}

    /**
     * Reads a page.
     *
     * @param after the place where the page before ended; null for the first
     * @throws Problem.Malformed if there is no such place
     */
    Page page(Site site, RecordFilter filter, @Nullable RecordCursor after) {
        return transactions.read(dsl -> {
            RecordListQuery query = new RecordListQuery(dsl, site);
            OffsetDateTime start = after == null ? null : query.startOf(after).orElseThrow(RecordListForm::noSuchPlace);
            List<RecordLine> lines = query.page(filter, after, start, ROWS_A_PAGE + 1);
            boolean more = lines.size() > ROWS_A_PAGE;
            List<RecordLine> shown = more ? lines.subList(0, ROWS_A_PAGE) : lines;
            return new Page(
                    shown,
                    query.count(filter),
                    query.withdrawn(filter),
                    more ? shown.get(ROWS_A_PAGE - 1).cursor() : null,
                    lines.isEmpty() && after == null && !filter.withdrawn() ? looser(query, filter) : List.of());
        });
    }

    private static List<Looser> looser(RecordListQuery query, RecordFilter filter) {
        List<RecordFilter.Part> parts = filter.parts();
        if (parts.isEmpty()) {
            return List.of();
        }
        List<Integer> counts = query.counts(parts.stream().map(filter::without).toList());
        List<Looser> looser = new ArrayList<>();
        for (int i = 0; i < parts.size(); i++) {
            looser.add(new Looser(parts.get(i), counts.get(i)));
        }
        return looser;
    }

    /** Hands every record of the filter to the reader, all as they are at one moment. */
    void each(Site site, RecordFilter filter, Consumer<RecordLine> reader) {
        transactions.read(dsl -> {
            new RecordListQuery(dsl, site).each(filter, reader);
            return filter;
        });
    }
}
