package airway.registry.kit;

import airway.registry.problem.Fault;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * A move that can be made now by the one who looks, as the page of the item offers it.
 *
 * @param code what is sent
 * @param title what it is, as one would say it
 * @param lead what to know before it is done, or empty
 * @param button what saving says
 * @param likely whether it is what usually comes next
 * @param packSeen whether saving says that the pack was seen to be whole
 */
record Offer(
        String code,
        String title,
        String lead,
        List<Question> questions,
        String button,
        boolean likely,
        boolean packSeen) {
    /**
     * What a move asks.
     *
     * @param kind text, place, moment, day or yes (and no)
     * @param choices places to tap
     */
    public record Question(String name, String label, String hint, String kind, List<String> choices) {}

    static final Question REMARK =
            new Question("reason", "Remark", "No names of people, nothing about a patient.", "text", List.of());

    /** The moves that can be made now, what usually comes next first. */
    static List<Offer> of(Items.Shown shown, Instant now) {
        Traced traced = shown.traced();
        Life life = traced.life();
        List<Offer> offers = new ArrayList<>();
        Move proposal = life.proposal();
        if (proposal != null && proposal.by() != shown.me()) {
            confirmation(shown, Objects.requireNonNull(proposal.proposes())).ifPresent(offers::add);
        }
        State next = next(life.state());
        for (State to : traced.open()) {
            // The use in a patient is told by the record, which knows the attempt.
            if (to != State.IN_USE
                    && !isOver(life, to, now, traced)
                    && shown.rights().contains(Ways.right(life, to))) {
                Offer offer = of(shown, to, to == next && proposal == null, now);
                offers.add(offer.likely ? 0 : offers.size(), offer);
            }
        }
        if (Ways.wipingBar(life, traced.kind()).isEmpty()) {
            offers.add(
                    0,
                    new Offer(
                            Move.WIPED,
                            "It was wiped",
                            "As its maker's instructions say; after it comes the check, as after any cycle.",
                            List.of(
                                    new Question("cycle", "What it was wiped with", "", "text", List.of()),
                                    question(
                                            "place",
                                            State.RETURNED,
                                            shown.places().getOrDefault(State.RETURNED, List.of()))),
                            "Save",
                            true,
                            false));
        }
        if (Ways.canBeTakenBack(life) && shown.rights().contains(Ways.right(life, State.READY))) {
            offers.add(new Offer(
                    Move.UNDO,
                    "Take the last move back",
                    "It stays in the log and is marked.",
                    List.of(new Question(
                            "reason", "Why", "No names of people, nothing about a patient.", "text", List.of())),
                    "Take it back",
                    false,
                    false));
        }
        return offers;
    }

    /** What is past its use-by day goes on no trolley, whatever is told. */
    private static boolean isOver(Life life, State to, Instant now, Traced traced) {
        return to == State.PLACED
                && Ways.faults(life, to, Told.nothing(now), now, traced.kind()).stream()
                        .anyMatch(fault -> fault.code().equals("use_by.over"));
    }

    private static Optional<Offer> confirmation(Items.Shown shown, State to) {
        Life life = shown.traced().life();
        if (!shown.rights().contains(Ways.right(life, to))) {
            return Optional.empty();
        }
        return Optional.of(new Offer(
                Move.CONFIRMED,
                "Confirm as the second person: " + title(life.state(), to),
                "Look at the item, its label and what was told with the proposal below. Confirm only what you have seen.",
                List.of(),
                "I confirm it",
                true,
                false));
    }

    private static State next(State state) {
        return switch (state) {
            case NEW, RETURNED -> State.READY;
            case READY -> State.PLACED;
            case OPENED, IN_USE, MISSING -> State.USED;
            case USED -> State.SENT;
            case SENT, IN_PROCESSING -> State.RETURNED;
            default -> State.OPENED;
        };
    }

    private static Offer of(Items.Shown shown, State to, boolean likely, Instant now) {
        Life life = shown.traced().life();
        Set<String> needed = Ways.faults(
                        life, to, Told.nothing(now), now, shown.traced().kind())
                .stream()
                .map(Fault::path)
                .map(path -> path.substring(1))
                .collect(Collectors.toSet());
        boolean packSeen = needed.remove("pack_whole");
        List<Question> questions = MoveForm.TOLD.stream()
                .filter(name -> needed.contains(name) || asks(life, to, name))
                .map(name -> question(name, to, shown.places().getOrDefault(to, List.of())))
                .toList();
        boolean two = Ways.needsTwo(life, to);
        String lead = Arrays.asList(
                        two
                                ? "Two people do this, each with an account of their own: you propose it, a second confirms."
                                : "",
                        packSeen
                                ? "Saving says that you saw the pack whole and in date. If it is not, hold the item."
                                : "",
                        to == State.USED && life.state() == State.MISSING ? "A found item counts as used." : "",
                        to == State.OPENED ? "Opened is dirty: it is ready again only after a passing cycle." : "")
                .stream()
                .filter(text -> !text.isEmpty())
                .collect(Collectors.joining(" "));
        return new Offer(
                to.code(),
                title(life.state(), to),
                lead,
                questions,
                two ? "Propose it" : packSeen ? "Pack is whole: save" : "Save",
                likely,
                packSeen);
    }

    /** What may be told and need not be. */
    private static boolean asks(Life life, State to, String name) {
        boolean cycle = name.startsWith("cycle");
        return switch (name) {
            case "place" -> MoveForm.asks(to, name) && to != State.RETIRED && to != State.OPENED;
            case "use_by" -> to == State.READY && life.state() == State.RETURNED;
            case "reason" -> false;
            default -> cycle && to == State.HELD && life.state().group() == State.Group.AWAY;
        };
    }

    /** As one would say it; the same move has another sense from elsewhere. */
    static String title(State from, State to) {
        return switch (to) {
            case NEW -> "Enter it";
            case READY -> from == State.NEW ? "Release it" : from == State.PLACED ? "Take it off the trolley" : "Ready";
            case PLACED -> "Put it on a trolley";
            case OPENED -> "It was opened";
            case IN_USE -> "It is in use";
            case USED -> from == State.MISSING ? "It was found" : "It was used";
            case SENT -> "Send it for decontamination";
            case IN_PROCESSING -> "It is in a cycle";
            case RETURNED -> "It came back";
            case HELD -> "Hold it";
            case REPAIR -> "Send it to repair";
            case MISSING -> "It is missing";
            case RETIRED -> "Out of use for good";
        };
    }

    private static Question question(String name, State to, List<String> places) {
        return switch (name) {
            case "place" -> new Question(name, place(to), "", "place", places);
            case "label" ->
                new Question(name, "Number of the tracking label", "As it stands on it.", "text", List.of());
            case "destination" -> new Question(name, "Where it goes", "", "place", places);
            case "cycle" ->
                new Question(
                        name,
                        "Number of the cycle",
                        "As the washer, steriliser or service gives it.",
                        "text",
                        List.of());
            case "cycle_ended_at" ->
                new Question(
                        name,
                        "When the cycle ended",
                        "Later than the last use, or it counts for nothing.",
                        "moment",
                        List.of());
            case "cycle_passed" ->
                new Question(name, "Did the cycle pass?", "If it failed, hold the item.", "yes", List.of());
            case "use_by" -> new Question(name, "Last day on which its pack may be used", "", "day", List.of());
            case "checked" ->
                new Question(
                        name,
                        "Inspection, and check of light or picture: passed?",
                        "If not, send it to repair.",
                        "yes",
                        List.of());
            default ->
                new Question(
                        name,
                        to == State.REPAIR ? "Number of the repair, or what is wrong" : "Why",
                        "No names of people, nothing about a patient.",
                        "text",
                        List.of());
        };
    }

    /** What is asked of all that goes in one box. */
    static List<Question> ofASending(Map<State, List<String>> places) {
        return Stream.of("label", "destination")
                .map(name -> question(name, State.SENT, places.getOrDefault(State.SENT, List.of())))
                .toList();
    }

    /** What is asked of all that comes back in one box. */
    static List<Question> ofAReturn(Map<State, List<String>> places) {
        return Stream.of("cycle", "cycle_ended_at", "cycle_passed", "use_by", "place")
                .map(name -> question(name, State.RETURNED, places.getOrDefault(State.RETURNED, List.of())))
                .toList();
    }

    private static String place(State to) {
        return switch (to) {
            case PLACED -> "Trolley and drawer";
            case USED -> "Where it lies now";
            case HELD -> "Where it is kept apart";
            case MISSING -> "Where it was last seen";
            default -> "Where it is now";
        };
    }
}
