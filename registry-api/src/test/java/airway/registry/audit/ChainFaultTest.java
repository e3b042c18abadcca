package airway.registry.audit;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What is said of the chain is what the page about it says. */
class ChainFaultTest {
    private static String page() throws IOException {
        return Files.readString(Path.of("../docs/howto/check-the-audit.md"));
    }

    @ParameterizedTest
    @EnumSource
    void isExplainedOnThePageAboutTheAudit(ChainFault.Kind kind) throws IOException {
        List<String> explained = Pattern.compile("\\| `([^`]+)` \\|")
                .matcher(page())
                .results()
                .map((MatchResult row) -> row.group(1).replace("\u2026", ""))
                .toList();
        boolean alone = kind == ChainFault.Kind.NEVER_SEALED || kind == ChainFault.Kind.WAITING_MISSING;
        String words = kind.name().matches("HEAD_.*|END_MISSING")
                ? new ChainFault(kind, 4, 80).words()
                : new ChainFault(kind, alone ? 61 : 57, 61).words();

        assertThat(explained).as(words).filteredOn(words::startsWith).hasSize(1);
    }

    @Test
    void theExampleOnThePageIsWhatIsSaid() throws IOException {
        assertThat(page()).contains(new Checked(152, 0, new Head(152, "0", Instant.EPOCH), 0, List.of()).words());
    }

    @Test
    void isReadBackAsItWasKept() {
        Checked checked = new Checked(9, 1, null, 0, List.of(new ChainFault(ChainFault.Kind.CHANGED, 5, 6)));
        LastCheck kept = LastCheck.of(Instant.EPOCH, checked);

        assertThat(LastCheck.of(Instant.EPOCH, kept.detail())).isEqualTo(kept);
        assertThat(LastCheck.of(Instant.EPOCH, new LastCheck(Instant.EPOCH, 9, 0, null).detail())
                        .first())
                .isNull();
    }
}
