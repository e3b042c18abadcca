package airway.registry.encounter;

import airway.registry.dictionary.Condition;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Everything done on one occasion to secure one patient's airway.
 *
 * @param confirmed pointers of odd answers that the recorder confirmed
 */
public record Encounter(
        Answers answers, Answers patient, List<Course> courses, List<Answers> events, List<String> confirmed) {

    Encounter confirming(List<String> pointers) {
        return new Encounter(answers, patient, courses, events, List.copyOf(pointers));
    }

    /** The attempts of all courses in order; attempt n is at place n - 1. */
    public List<Answers> attempts() {
        return courses.stream().flatMap(course -> course.attempts().stream()).toList();
    }

    /** Approach of the course that attempt n, from 1, belongs to. */
    public Optional<String> approachOf(int attempt) {
        int before = 0;
        for (Course course : courses) {
            before += course.attempts().size();
            if (attempt <= before) {
                return Optional.ofNullable(course.answers().text("course_approach"));
            }
        }
        return Optional.empty();
    }

    /** One object of the record with its pointer and all that its conditions may look at. */
    record Node(String pointer, Answers answers, Condition.Answered answered) {}

    /** Every object of the record. */
    List<Node> nodes(Map<String, DeviceSetup> setups) {
        List<Node> nodes = new ArrayList<>();
        nodes.add(node("", answers));
        nodes.add(node("/patient", patient));
        for (int c = 0; c < courses.size(); c++) {
            Course course = courses.get(c);
            nodes.add(node("/courses/" + c, course.answers()));
            for (int d = 0; d < course.drugs().size(); d++) {
                nodes.add(node("/courses/" + c + "/drugs/" + d, course.drugs().get(d)));
            }
            for (int a = 0; a < course.attempts().size(); a++) {
                Answers attempt = course.attempts().get(a);
                DeviceSetup setup = setups.get(String.valueOf(attempt.text("device_setup_id")));
                nodes.add(
                        setup == null
                                ? node("/courses/" + c + "/attempts/" + a, attempt)
                                : node("/courses/" + c + "/attempts/" + a, attempt, setup.answers()));
            }
        }
        for (int e = 0; e < events.size(); e++) {
            nodes.add(node("/events/" + e, events.get(e)));
        }
        return nodes;
    }

    private Node node(String pointer, Answers... own) {
        List<Answers> sources = new ArrayList<>(List.of(own));
        sources.add(answers);
        sources.add(patient);
        return new Node(pointer, own[0], new Condition.Answered() {
            @Override
            public Optional<Object> answer(String variable) {
                return sources.stream()
                        .flatMap(source -> source.forCondition(variable).stream())
                        .findFirst();
            }

            @Override
            public boolean anyMissing(String variable) {
                return attempts().stream()
                        .anyMatch(attempt -> attempt.value(variable).isEmpty());
            }
        });
    }
}
