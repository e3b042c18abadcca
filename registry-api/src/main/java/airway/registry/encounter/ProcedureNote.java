package airway.registry.encounter;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** A note in plain text made from the answers alone, to be read and copied into the health record. */
final class ProcedureNote {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.UK);
    private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.UK);

    private final Recorded recorded;
    private final Encounter encounter;
    private final Answers answers;
    private final List<String> lines = new ArrayList<>();

    private ProcedureNote(Recorded recorded) {
        this.recorded = recorded;
        this.encounter = recorded.encounter();
        this.answers = encounter.answers();
    }

    static String of(Recorded recorded) {
        ProcedureNote note = new ProcedureNote(recorded);
        note.head();
        note.child();
        note.attempts();
        note.end();
        // Plain letters only: not every health record takes a subscript.
        return String.join("\n", note.lines).replace('₂', '2');
    }

    private void head() {
        ZoneId zone = recorded.site().zone();
        Instant start = (Instant) answers.value("encounter_start").orElseThrow();
        lines.add(what() + ", " + DAY.format(start.atZone(zone)) + ", decided about " + CLOCK.format(start.atZone(zone))
                + ".");
        line("Place: ", answers, "location");
        line("", answers, "encounter_kind");
    }

    private String what() {
        boolean tracheal =
                encounter.approachOf(1).map(CrossChecks.TRACHEAL::contains).orElse(false);
        return answers.is("encounter_kind", "tube_change")
                ? "Tracheal tube change"
                : tracheal ? "Tracheal intubation" : "Airway procedure";
    }

    private void child() {
        String age = InWords.age(answers);
        String weight = answers.words("weight_kg");
        String both = Stream.of(
                        age == null ? null : "age " + age,
                        weight == null || weight.equals("not known") ? null : weight + " kg")
                .filter(Objects::nonNull)
                .reduce((a, b) -> a + ", " + b)
                .map(InWords::sentence)
                .orElse("");
        String cyanotic = switch (String.valueOf(answers.text("cyanotic_heart_disease"))) {
            case "yes" -> "Cyanotic heart disease.";
            case "no" -> "No cyanotic heart disease.";
            case "unk" -> "Cyanotic heart disease: not known.";
            default -> "";
        };
        add(Stream.of(both, cyanotic).filter(text -> !text.isEmpty()).reduce((a, b) -> a + " " + b));
        add(Stream.of(answers.words("indication_main"), answers.words("urgency"))
                .filter(Objects::nonNull)
                .map(InWords::lower)
                .reduce((a, b) -> a + "; " + b)
                .map(text -> "Reason: " + text + "."));
        line("Difficulty expected beforehand: ", answers, "difficulty_predicted");
    }

    private void attempts() {
        int all = encounter.attempts().size();
        int number = 0;
        for (Course course : encounter.courses()) {
            for (int a = 0; a < course.attempts().size(); a++) {
                number++;
                Answers attempt = course.attempts().get(a);
                DeviceSetup setup = recorded.setups().get(String.valueOf(attempt.text("device_setup_id")));
                lines.add((all == 1 ? "One attempt: " : "Attempt " + number + ": ")
                        + InWords.attempt(course.answers().text("course_approach"), attempt, setup) + ".");
                operator(attempt);
                if (a == 0) {
                    drugs(course);
                }
                tube(attempt);
                String saturation = InWords.saturation(
                        a == 0 ? course.answers().number("spo2_best_before") : null, attempt.number("spo2_lowest"));
                add(saturation.isEmpty() ? null : InWords.sentence(saturation));
                confirmation(attempt);
                kit(attempt);
            }
        }
        if (all == 0) {
            lines.add("No attempt was made.");
        }
    }

    private void drugs(Course course) {
        List<String> given = course.drugs().stream().map(ProcedureNote::drug).toList();
        if (!given.isEmpty()) {
            lines.add(InWords.sentence("drugs: " + String.join(", ", given)));
        }
    }

    private static String drug(Answers drug) {
        String dose = drug.value("drug_dose").isPresent() ? " " + drug.words("drug_dose") : "";
        String unit = dose.isEmpty() ? "" : " " + Objects.requireNonNullElse(known(drug, "drug_dose_unit"), "");
        return (InWords.lower(String.valueOf(drug.words("drug_agent"))) + dose + unit).strip();
    }

    /** View, aids and tube, where they were told. */
    private void tube(Answers attempt) {
        String told = seenAndUsed(attempt);
        if (!told.isEmpty()) {
            lines.add(InWords.sentence(told));
        }
    }

    private static String seenAndUsed(Answers attempt) {
        List<String> parts = new ArrayList<>();
        for (String view : List.of("view_direct", "view_screen")) {
            if (known(attempt, view) != null && !attempt.is(view, "not_looked")) {
                parts.add((view.equals("view_direct") ? "direct view " : "view on the screen ") + known(attempt, view));
            }
        }
        List<String> aids = attempt.list("adjuncts");
        if (!aids.isEmpty()) {
            parts.add(aids.contains("none") ? "no aids" : "aids: " + known(attempt, "adjuncts"));
        }
        if (attempt.value("tube_size_mm").isPresent()) {
            String cuff = known(attempt, "tube_cuff");
            parts.add("tube " + attempt.words("tube_size_mm") + " mm" + (cuff == null ? "" : ", " + cuff));
        }
        return String.join("; ", parts);
    }

    /** What worked, in one line. */
    private void next() {
        List<Answers> attempts = encounter.attempts();
        for (int number = attempts.size(); number >= 1; number--) {
            Answers attempt = attempts.get(number - 1);
            DeviceSetup setup = recorded.setups().get(String.valueOf(attempt.text("device_setup_id")));
            if (attempt.is("attempt_success", "yes") && setup != null) {
                String told = seenAndUsed(attempt);
                String depth = answers.value("tube_depth_cm").isPresent()
                        ? "; " + answers.words("tube_depth_cm") + " cm at lips or nostril"
                        : "";
                String screen = InWords.screen(setup);
                lines.add("For the next team: attempt " + number + " worked with "
                        + InWords.lower(setup.title()) + (screen.isEmpty() ? "" : ", " + screen)
                        + (told.isEmpty() ? "" : "; " + told) + depth + ".");
                return;
            }
        }
    }

    private void operator(Answers attempt) {
        add(Stream.of(known(attempt, "operator_grade"), before(attempt))
                .filter(Objects::nonNull)
                .reduce((a, b) -> a + "; " + b)
                .map(text -> "Operator: " + text + "."));
    }

    private static @Nullable String before(Answers attempt) {
        String experience = known(attempt, "operator_experience");
        return experience == null ? null : experience + " intubations before";
    }

    private static @Nullable String known(Answers answers, String variable) {
        String words = answers.words(variable);
        return words == null || words.equalsIgnoreCase("not known") ? null : InWords.lower(words);
    }

    private void confirmation(Answers attempt) {
        switch (String.valueOf(attempt.text("sustained_co2"))) {
            case "yes" -> lines.add("Sustained exhaled CO₂ seen (waveform, all four criteria).");
            case "no" -> lines.add("Sustained exhaled CO₂ not seen.");
            case "unk" -> lines.add("Sustained exhaled CO₂: not known.");
            default -> {}
        }
        if (!attempt.is("sustained_co2", "yes") && attempt.value("confirmation").isPresent()) {
            line("Confirmed by: ", attempt, "confirmation");
        }
    }

    private void kit(Answers attempt) {
        List<String> issues = attempt.list("kit_issue");
        if (issues.equals(List.of("none"))) {
            lines.add("No kit problem.");
        } else if (!issues.isEmpty()) {
            line("Kit problem: ", attempt, "kit_issue");
        }
        List<String> labels = attempt.list("kit_labels");
        if (!labels.isEmpty()) {
            lines.add("Labels of the items used: " + String.join(", ", labels) + ".");
        }
    }

    private void end() {
        switch (String.valueOf(answers.text("adverse_event_any"))) {
            case "no" -> lines.add("None of the listed events until 30 minutes after the last attempt.");
            case "unk" -> lines.add("Events: not known.");
            case "yes" ->
                lines.add("Events: "
                        + String.join(
                                "; ",
                                encounter.events().stream()
                                        .map(ProcedureNote::event)
                                        .toList())
                        + ".");
            default -> {}
        }
        line("Airway at the end: ", answers, "final_airway");
        next();
        List<String> open = OpenQuestions.of(recorded);
        if (!open.isEmpty()) {
            lines.add("Not answered: " + InWords.lower(String.join("; ", open)) + ".");
        }
        String by = known(answers, "recorder_role");
        lines.add("Written afterwards"
                + (by == null || by.startsWith("from the chart") ? "" : " by the " + by.replaceFirst("^an ", "")) + ", "
                + CLOCK.format(recorded.recordedAt().atZone(recorded.site().zone())) + ".");
    }

    private static String event(Answers event) {
        Integer attempt = event.number("event_attempt_no");
        return InWords.lower(String.valueOf(event.words("event_type")))
                + (attempt == null
                        ? ""
                        : attempt == 0 ? " (before attempt 1)" : " (in or after attempt " + attempt + ")");
    }

    private void line(String lead, Answers from, String variable) {
        String words = from.words(variable);
        if (words != null) {
            lines.add(InWords.sentence(lead + (lead.isEmpty() ? words : InWords.lower(words))));
        }
    }

    private void add(java.util.Optional<String> text) {
        text.ifPresent(lines::add);
    }

    private void add(@Nullable String text) {
        if (text != null) {
            lines.add(text);
        }
    }
}
