package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * Whether a trolley is ready, and why not: what its last checks found, and where its items went since. What is not known
 * is never ready.
 *
 * @param word the verdict
 * @param reasons why it is not ready, or what is missing; in words
 * @param notes what must be done besides, or was told
 * @param restock what is to be put on it
 * @param last the last check, or null
 * @param full the last full check, or null
 * @param seal number of the seal that is on it, as far as is known; null where none is, or it is not whole
 * @param due when the next check is due, or null where none was made
 * @param inDateUntil the earliest use-by day on it, or null
 * @param seen the last line of its log, whether it counts or not; 0 where there is none
 */
record Standing(
        Trolley trolley,
        Word word,
        List<String> reasons,
        List<String> notes,
        List<Restock> restock,
        @Nullable Check last,
        @Nullable Check full,
        @Nullable String seal,
        @Nullable Instant due,
        @Nullable LocalDate inDateUntil,
        int seen) {
    /** What lasts less than this is told of beforehand; our own choice, no source. */
    private static final int SOON_DAYS = 30;

    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM, HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);

    /** In one word. */
    enum Word {
        READY("is ready"),
        GAP("is ready, with a gap"),
        OVERDUE("is overdue for its check, so it does not count as ready"),
        NOT_READY("is not ready"),
        NOT_CHECKED("was never checked in full, so it does not count as ready");

        private final String words;

        Word(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        boolean ready() {
            return this == READY || this == GAP;
        }
    }

    /**
     * What is to be put into a slot.
     *
     * @param how how many
     */
    record Restock(String drawer, String title, int how) {}

    Standing {
        reasons = List.copyOf(reasons);
        notes = List.copyOf(notes);
        restock = List.copyOf(restock);
    }

    /** As a sentence without its end, as "Trolley 2 is not ready". */
    String sentence() {
        return trolley.title() + " " + word.words();
    }

    /** Whether the seal allows the short check. */
    boolean shortCheck() {
        return seal != null;
    }

    /**
     * Works it out.
     *
     * @param checks those of the trolley that count, from the last full one on, the first one first
     * @param items those of the unit
     * @param seen the last line of its log
     */
    static Standing of(Trolley trolley, List<Check> checks, List<Whereabouts> items, int seen, Instant now) {
        return new Judge(trolley, items, now).judge(checks, seen);
    }

    /** Collects what speaks against it. */
    private static final class Judge {
        private final Trolley trolley;
        private final List<Whereabouts> items;
        private final Instant now;
        private final LocalDate today;
        private final List<String> against = new ArrayList<>();
        private final List<String> gaps = new ArrayList<>();
        private final List<String> notes = new ArrayList<>();
        private final List<Restock> restock = new ArrayList<>();

        Judge(Trolley trolley, List<Whereabouts> items, Instant now) {
            this.trolley = trolley;
            this.items = items;
            this.now = now;
            this.today = LocalDate.ofInstant(now, trolley.site().zone());
        }

        Standing judge(List<Check> checks, int seen) {
            Check full = null;
            Check last = null;
            for (Check check : checks) {
                if (check.found().kind() == Check.Kind.FULL) {
                    full = check;
                }
                if (check.found().kind() != Check.Kind.OPENED) {
                    last = check;
                }
            }
            LocalDate until = null;
            boolean whole = false;
            Instant due = null;
            boolean overdue = false;
            if (full != null && last != null) {
                whole = seal(full, checks.subList(checks.indexOf(full) + 1, checks.size()));
                until = slots(full);
                device(full, last);
                Instant next = trolley.due(last.found().at(), trolley.checkDays());
                Instant nextFull = trolley.due(full.found().at(), trolley.fullDays());
                due = next.isBefore(nextFull) ? next : nextFull;
                overdue = now.isAfter(due);
            }
            items();
            if (overdue) {
                against.add(
                        "The " + (now.isAfter(trolley.due(full(full).found().at(), trolley.fullDays())) ? "full " : "")
                                + "check was due " + at(Objects.requireNonNull(due)) + ".");
            }
            Word word = full == null
                    ? Word.NOT_CHECKED
                    : against.size() > (overdue ? 1 : 0)
                            ? Word.NOT_READY
                            : overdue ? Word.OVERDUE : gaps.isEmpty() ? Word.READY : Word.GAP;
            List<String> reasons = new ArrayList<>(against);
            reasons.addAll(gaps);
            return new Standing(
                    trolley,
                    word,
                    reasons,
                    notes,
                    restock,
                    last,
                    full,
                    whole && full != null ? full.found().sealApplied() : null,
                    due,
                    until,
                    seen);
        }

        private static Check full(@Nullable Check full) {
            return Objects.requireNonNull(full);
        }

        /** Whether the seal of the full check is on it and whole, as far as was told. */
        private boolean seal(Check full, List<Check> since) {
            String applied = full.found().sealApplied();
            boolean opened = false;
            for (Check check : since) {
                Check.Found found = check.found();
                if (found.kind() == Check.Kind.OPENED) {
                    against.add("Opened " + at(found.at()) + ": it needs a full check and a new seal.");
                    opened = true;
                } else if (!"whole".equals(found.sealFound())) {
                    against.add("The seal was found " + ("none".equals(found.sealFound()) ? "missing" : "broken") + " "
                            + at(found.at()) + (opened ? "" : ", and nobody said who opened it: ask the last shift")
                            + ". It needs a full check.");
                    opened = true;
                } else if (!Objects.equals(found.sealRead(), applied)) {
                    against.add("The seal was another one " + at(found.at()) + ": read " + found.sealRead()
                            + ", put on " + applied + ". It needs a full check.");
                    opened = true;
                }
            }
            return !opened && applied != null;
        }

        private @Nullable LocalDate slots(Check full) {
            LocalDate until = null;
            if (!full.slots().equals(trolley.slots())) {
                against.add("What should lie in it was changed since its last full check.");
            }
            for (int i = 0; i < full.slots().size() && i < full.found().lines().size(); i++) {
                Slot slot = full.slots().get(i);
                Check.Line line = full.found().lines().get(i);
                LocalDate useBy = line.useBy();
                String what = slot.title() + ", drawer " + slot.drawer();
                if (line.count() < slot.least()) {
                    against.add("Missing: " + what + ": " + line.count() + " of " + slot.wanted()
                            + (slot.least() < slot.wanted() ? ", at least " + slot.least() : "") + ".");
                } else if (line.count() < slot.wanted()) {
                    gaps.add("Fewer than wanted: " + what + ": " + line.count() + " of " + slot.wanted() + ".");
                }
                if (line.count() < slot.wanted()) {
                    restock.add(new Restock(slot.drawer(), slot.title(), slot.wanted() - line.count()));
                }
                if (line.count() > 0 && useBy != null) {
                    until = until == null || useBy.isBefore(until) ? useBy : until;
                    if (useBy.isBefore(today)) {
                        (slot.least() > 0 ? against : gaps)
                                .add("Use-by day over: " + what + ", " + DAY.format(useBy) + ".");
                    } else if (useBy.isBefore(today.plusDays(SOON_DAYS + 1L))) {
                        notes.add("Use by " + DAY.format(useBy) + ": " + what + ".");
                    }
                }
            }
            return until;
        }

        private void device(Check full, Check last) {
            Check.Found found = last.found();
            Integer least = trolley.batteryLeast();
            if (trolley.light() && !Boolean.TRUE.equals(full.found().light())) {
                against.add(
                        full.found().light() == null
                                ? "Light or picture was not tried."
                                : "Light or picture failed at the full check.");
            }
            if (least != null) {
                Integer charge = found.battery();
                if (charge == null) {
                    against.add("Its charge is not known.");
                } else if (charge < least) {
                    against.add("Charged " + charge + "%, needs " + least + "%.");
                }
            }
            if (trolley.recorder()) {
                if (!Boolean.TRUE.equals(found.memoryFree())) {
                    against.add(
                            found.memoryFree() == null
                                    ? "Nobody told whether its memory has room."
                                    : "Its memory has no room for a recording.");
                }
                Check.Recordings recordings = found.recordings();
                if (recordings == Check.Recordings.ON_DEVICE) {
                    notes.add("Recordings to copy off.");
                } else if (recordings == Check.Recordings.COPIED) {
                    notes.add("Recordings copied: check the copy before the memory is cleared.");
                } else if (recordings == Check.Recordings.VERIFIED) {
                    notes.add("Recordings copied and checked: the memory can be cleared.");
                }
            }
        }

        /** What was counted must lie there by its moves too: a count alone does not say that a blade is clean. */
        private void items() {
            Map<UUID, Integer> least = new LinkedHashMap<>();
            for (Slot slot : trolley.slots()) {
                if (slot.kind() != null) {
                    least.merge(slot.kind(), slot.least(), Integer::sum);
                }
            }
            for (Whereabouts item : items) {
                if (!trolley.holds(item.place())) {
                    continue;
                }
                String what = item.name() + ", " + item.kind().title();
                if (item.state() != State.PLACED) {
                    against.add(what + ": " + item.state().words() + " since " + at(item.since()) + ".");
                } else if (item.useBy() == null && !item.kind().wiped()) {
                    against.add(what + ": the use-by day of its pack is not known.");
                } else if (!item.usable(today)) {
                    against.add(what + ": the use-by day of its pack, " + DAY.format(item.useBy()) + ", is over.");
                }
            }
            least.forEach((kind, needed) -> {
                long there = items.stream()
                        .filter(item -> item.kind().id().equals(kind)
                                && item.state() == State.PLACED
                                && trolley.holds(item.place())
                                && item.usable(today))
                        .count();
                if (there < needed) {
                    against.add("By their moves " + there + " of " + needed + " lie on it: " + title(kind) + ".");
                }
            });
        }

        private String title(UUID kind) {
            return trolley.slots().stream()
                    .filter(slot -> kind.equals(slot.kind()))
                    .findFirst()
                    .map(Slot::title)
                    .orElseThrow();
        }

        private String at(Instant moment) {
            return AT.format(moment.atZone(trolley.site().zone()));
        }
    }
}
