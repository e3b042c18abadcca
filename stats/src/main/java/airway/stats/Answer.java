package airway.stats;

import java.util.EnumSet;
import java.util.NoSuchElementException;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;

/**
 * What a statistical method says: either a value, perhaps with cautions, or a refusal with its reason.
 *
 * <pre>{@code
 * Answer<Estimate> answer = ProportionInterval.WILSON.of(new Proportion(17, 20), Confidence.DEFAULT);
 * String text = answer.fold(
 *         ok -> format(ok.value()),
 *         refused -> sentenceFor(refused.reason()));
 * }</pre>
 *
 * <p>A refusal is a result: a month without cases has no success rate, and a screen says so. Exceptions are kept for the
 * caller's mistakes, such as 5 successes among 3 cases.
 *
 * @param <T> what is answered
 */
public sealed interface Answer<T> {

    /**
     * The value, with what a reader has to know beside it.
     *
     * @param value the answer itself; no number in it is NaN
     * @param cautions shown with the value, never instead of it
     */
    record Ok<T>(T value, Set<Caution> cautions) implements Answer<T> {

        /** The value with a copy of the cautions. */
        public Ok {
            cautions = Set.copyOf(cautions);
        }

        @Override
        public <R> R fold(
                Function<? super Ok<T>, ? extends R> whenOk, Function<? super Refused<T>, ? extends R> whenRefused) {
            return whenOk.apply(this);
        }
    }

    /**
     * No answer, for a reason, with what can still be shown.
     *
     * @param reason why there is no answer
     * @param shown what can be shown all the same
     */
    record Refused<T>(Reason reason, Shown shown) implements Answer<T> {

        @Override
        public <R> R fold(
                Function<? super Ok<T>, ? extends R> whenOk, Function<? super Refused<T>, ? extends R> whenRefused) {
            return whenRefused.apply(this);
        }
    }

    /** An answer without cautions. */
    static <T> Answer<T> ok(T value) {
        return new Ok<>(value, Set.of());
    }

    /** An answer with cautions. */
    static <T> Answer<T> ok(T value, Set<Caution> cautions) {
        return new Ok<>(value, cautions);
    }

    /** A refusal with nothing to show. */
    static <T> Answer<T> refused(Reason reason) {
        return new Refused<>(reason, Shown.NOTHING);
    }

    /** A refusal with what can still be shown. */
    static <T> Answer<T> refused(Reason reason, Shown shown) {
        return new Refused<>(reason, shown);
    }

    /** Deals with both cases: the one way to take an answer apart that cannot forget the refusal. */
    <R> R fold(Function<? super Ok<T>, ? extends R> whenOk, Function<? super Refused<T>, ? extends R> whenRefused);

    /** The same answer about something made from the value; cautions and refusals are kept. */
    default <U> Answer<U> map(Function<? super T, ? extends U> change) {
        return fold(ok -> new Ok<>(change.apply(ok.value), ok.cautions), no -> new Refused<>(no.reason, no.shown));
    }

    /** The answer to a further question about the value; the cautions of both are kept. */
    default <U> Answer<U> then(Function<? super T, Answer<U>> question) {
        return fold(
                ok -> question.apply(ok.value)
                        .fold(next -> new Ok<>(next.value, union(ok.cautions, next.cautions)), no -> no),
                no -> new Refused<>(no.reason, no.shown));
    }

    /** The value, or nothing when refused. */
    default Optional<T> toOptional() {
        return fold(ok -> Optional.of(ok.value), no -> Optional.empty());
    }

    /**
     * The value.
     *
     * @throws NoSuchElementException if the answer was refused, with the reason
     */
    default T orElseThrow() {
        return fold(ok -> ok.value, no -> {
            throw new NoSuchElementException("refused: " + no.reason);
        });
    }

    private static Set<Caution> union(Set<Caution> some, Set<Caution> more) {
        Set<Caution> all = EnumSet.noneOf(Caution.class);
        all.addAll(some);
        all.addAll(more);
        return all;
    }
}
