package airway.registry.encounter;

import airway.registry.problem.Fault;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** The questions of the record page in their order: which part of the record each one fills, and what is wrong with it. */
final class Questions {
    /**
     * What is to be told about one question.
     *
     * @param field of the page, empty when it is about the whole
     * @param title of the question
     * @param mend what to do
     * @param confirm whether it is a question only: an unlikely value that may be right
     */
    public record Told(String field, String title, String mend, boolean confirm) {}

    private record Question(String field, String title) {}

    private final Map<String, Question> byPointer = new LinkedHashMap<>();
    private final Map<String, Told> told = new LinkedHashMap<>();

    void at(String pointer, String field, String title) {
        byPointer.putIfAbsent(pointer, new Question(field, title));
    }

    /** Something that cannot be read from what was typed. */
    void fault(String field, String mend) {
        told.putIfAbsent(field, new Told(field, title(field), mend, false));
    }

    /** What the checks of the record say, at the question it is about. */
    void faults(List<Fault> faults) {
        for (Fault fault : faults) {
            Question question = question(fault.path());
            String field = question == null ? "" : question.field();
            if (told.keySet().stream().anyMatch(earlier -> base(earlier).equals(field))) {
                continue;
            }
            boolean confirm = fault.severity() == Fault.Severity.CONFIRM;
            told.put(
                    field,
                    new Told(
                            field,
                            question == null ? "" : question.title(),
                            confirm ? "Is it right? " + fault.mend() : fault.mend(),
                            confirm));
        }
    }

    /** The field that a pointer is asked in; null where no question asks for it. */
    @Nullable
    String field(String pointer) {
        Question question = question(pointer);
        return question == null ? null : question.field();
    }

    /** Pointers of all answers that a question asks for. */
    Stream<String> pointers() {
        return byPointer.keySet().stream();
    }

    /** Everything there is to tell, in the order of the page. */
    List<Told> told() {
        List<Told> inOrder = new ArrayList<>();
        List<String> order =
                byPointer.values().stream().map(Question::field).distinct().toList();
        told.values().stream().filter(one -> !order.contains(base(one.field()))).forEach(inOrder::add);
        for (String field : order) {
            told.values().stream()
                    .filter(one -> base(one.field()).equals(field))
                    .forEach(inOrder::add);
        }
        return List.copyOf(inOrder);
    }

    private @Nullable Question question(String pointer) {
        for (String path = pointer; !path.isEmpty(); path = path.substring(0, path.lastIndexOf('/'))) {
            Question question = byPointer.get(path);
            if (question != null) {
                return question;
            }
            if (!path.contains("/")) {
                return null;
            }
        }
        return null;
    }

    private String title(String field) {
        return byPointer.values().stream()
                .filter(question -> question.field().equals(base(field)))
                .map(Question::title)
                .findFirst()
                .orElse("");
    }

    /** A part of a question, "start_time" of "start", stands where its question stands. */
    private String base(String field) {
        boolean asked = byPointer.values().stream()
                .anyMatch(question -> question.field().equals(field));
        int part = field.lastIndexOf('_');
        return asked || part < 0 ? field : field.substring(0, part);
    }
}
