package airway.stats.oracle;

import airway.stats.Answer;
import airway.stats.Estimate;
import airway.stats.Reason;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.BiConsumer;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** The answer of this library, written with the keys of the reference cases. */
final class Reply {

    private final Map<String, @Nullable Object> keys = new LinkedHashMap<>();

    private Reply(String status) {
        keys.put("status", status);
    }

    static Reply ok() {
        return new Reply("ok");
    }

    static Reply refused(Reason reason) {
        return new Reply("refused").put("reason", reason.name());
    }

    /** An answer whose refusal shows nothing but the reason. */
    static <T> Reply of(Answer<T> answer, BiConsumer<Reply, T> whenOk) {
        return of(answer, whenOk, "n", "estimate");
    }

    /** An answer whose refusal shows a number of cases and a bare estimate under the given keys. */
    static <T> Reply of(Answer<T> answer, BiConsumer<Reply, T> whenOk, String nKey, String estimateKey) {
        return answer.fold(
                ok -> {
                    Reply reply = ok();
                    whenOk.accept(reply, ok.value());
                    return reply;
                },
                no -> {
                    Reply reply = refused(no.reason());
                    reply.put("lower", null)
                            .put("upper", null)
                            .put(estimateKey, number(no.shown().estimate()));
                    no.shown().n().ifPresent(n -> reply.put(nKey, n));
                    no.shown().p().ifPresent(p -> reply.put("p", p));
                    if (no.shown().points().size() > 0) {
                        reply.put("points", numbers(no.shown().points().values().stream()));
                    }
                    return reply;
                });
    }

    static Reply of(Answer<Estimate> answer) {
        return of(answer, Reply::put);
    }

    Reply put(String key, @Nullable Object value) {
        keys.put(key, value);
        return this;
    }

    /** For what the caller knows anyhow and a refusal does not repeat. */
    Reply putIfAbsent(String key, Object value) {
        keys.putIfAbsent(key, value);
        return this;
    }

    Reply put(Estimate estimate) {
        return put("estimate", estimate.value()).put("lower", estimate.lower()).put("upper", estimate.upper());
    }

    Map<String, @Nullable Object> keys() {
        return keys;
    }

    static @Nullable Double number(OptionalDouble value) {
        return value.isPresent() ? (Double) value.getAsDouble() : null;
    }

    static @Nullable Integer integer(OptionalInt value) {
        return value.isPresent() ? (Integer) value.getAsInt() : null;
    }

    static List<@Nullable Double> numbers(Stream<OptionalDouble> values) {
        return values.map(Reply::number).collect(Collectors.toList());
    }
}
