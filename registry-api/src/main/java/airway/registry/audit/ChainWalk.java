package airway.registry.audit;

import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeFormatterBuilder;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Goes along the chain and stops at the first link that does not hold; the heads kept outside are compared on the way.
 */
final class ChainWalk implements ChainQuery.Walker {
    /** No transaction lasts so long that its entries could honestly be sealed this late. */
    private static final Duration LATEST = Duration.ofDays(1);

    private static final DateTimeFormatter AT = new DateTimeFormatterBuilder()
            .append(DateTimeFormatter.ISO_LOCAL_DATE)
            .appendLiteral(' ')
            .append(DateTimeFormatter.ISO_LOCAL_TIME)
            .appendOffset("+HH", "+00")
            .toFormatter(Locale.ROOT);

    private final TreeMap<Long, List<HeadFile.Line>> heads = new TreeMap<>();
    private final List<ChainFault> inHeads = new ArrayList<>();
    private @Nullable ChainFault inChain;
    private @Nullable Seal last;
    private @Nullable Instant newest;

    ChainWalk(List<HeadFile.Line> lines) {
        for (HeadFile.Line line : lines) {
            Head head = line.head();
            if (head != null) {
                heads.computeIfAbsent(head.seq(), seq -> new ArrayList<>()).add(line);
            } else if (!line.broken()) {
                inHeads.add(new ChainFault(ChainFault.Kind.HEAD_UNREADABLE, line.number(), 0));
            }
        }
    }

    @Override
    public boolean take(Seal seal, @Nullable Entry entry) {
        inChain = fault(seal, entry);
        if (inChain != null) {
            return false;
        }
        compare(seal);
        last = seal;
        return true;
    }

    private @Nullable ChainFault fault(Seal seal, @Nullable Entry entry) {
        long expected = sealed() + 1;
        String before = last == null ? null : last.hash();
        if (seal.seq() != expected) {
            return new ChainFault(ChainFault.Kind.SEAL_MISSING, expected, 0);
        }
        if (!Objects.equals(seal.previous(), before)) {
            return new ChainFault(ChainFault.Kind.OUT_OF_ORDER, expected, seal.entryId());
        }
        if (entry == null) {
            return new ChainFault(ChainFault.Kind.ENTRY_MISSING, expected, seal.entryId());
        }
        Instant at = at(entry);
        if (at == null || !entry.seal(expected, before).hash().equals(seal.hash())) {
            return new ChainFault(ChainFault.Kind.CHANGED, expected, seal.entryId());
        }
        if (newest != null && at.isBefore(newest.minus(LATEST))) {
            return new ChainFault(ChainFault.Kind.DATED_BACK, expected, seal.entryId());
        }
        newest = newest == null || at.isAfter(newest) ? at : newest;
        return null;
    }

    /** When the entry says that it was written; null for what no clock has said. */
    private static @Nullable Instant at(Entry entry) {
        try {
            return OffsetDateTime.parse(entry.at(), AT).toInstant();
        } catch (DateTimeParseException e) {
            return null;
        }
    }

    private void compare(Seal seal) {
        for (HeadFile.Line line : heads.getOrDefault(seal.seq(), List.of())) {
            Head head = line.head();
            if (head != null && !head.hash().equals(seal.hash())) {
                inHeads.add(new ChainFault(ChainFault.Kind.HEAD_DIFFERS, line.number(), seal.seq()));
            }
        }
    }

    /** The last seal that holds. */
    long sealed() {
        return last == null ? 0 : last.seq();
    }

    /** What was found: of the chain its first fault, then of the heads each; heads after a fault say nothing more. */
    List<ChainFault> faults() {
        List<ChainFault> faults = new ArrayList<>();
        if (inChain == null) {
            heads.tailMap(sealed(), false)
                    .values()
                    .forEach(lines -> lines.forEach(line -> {
                        Head head = line.head();
                        if (head != null) {
                            inHeads.add(new ChainFault(ChainFault.Kind.END_MISSING, line.number(), head.seq()));
                        }
                    }));
        } else {
            faults.add(inChain);
        }
        faults.addAll(inHeads);
        return faults;
    }
}
