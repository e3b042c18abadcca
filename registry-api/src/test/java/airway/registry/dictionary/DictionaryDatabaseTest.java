package airway.registry.dictionary;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.cohort.Stratum;
import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.math.BigDecimal;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** Dictionary, schema and code say the same. */
class DictionaryDatabaseTest {
    private static final Map<Level, String> TABLES = Map.of(
            Level.ENCOUNTER, "encounter.version",
            Level.PATIENT, "encounter.patient",
            Level.COURSE, "encounter.course",
            Level.DRUG, "encounter.drug",
            Level.ATTEMPT, "encounter.attempt",
            Level.EVENT, "encounter.event",
            Level.DEVICE_SETUP, "encounter.device_setup");

    /** Set by the system in another form, or not kept yet. */
    private static final Set<String> ELSEWHERE = Set.of("birth_date", "patient_code", "operator_id");

    private static final Pattern QUOTED = Pattern.compile("'([^']*)'::text");
    private static final Pattern NUMBER = Pattern.compile("[<>]= \\(?'?(-?[0-9.]+)");

    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @Test
    void everyVariableOfARecordHasAColumnOfItsTypeRangeAndCodes() throws SQLException {
        Map<String, String> types = columns(
                "select attrelid::regclass || '.' || attname || '=' || format_type(atttypid, atttypmod) from pg_attribute"
                        + " where attrelid in (select oid from pg_class where relnamespace = 'encounter'::regnamespace"
                        + " and relkind = 'r') and attnum > 0");
        Map<String, String> checks = columns(
                "select c.conrelid::regclass || '.' || a.attname || '=' || pg_get_constraintdef(c.oid) from pg_constraint c"
                        + " join pg_attribute a on a.attrelid = c.conrelid and a.attnum = c.conkey[1]"
                        + " where c.contype = 'c' and cardinality(c.conkey) = 1");
        int compared = 0;
        for (Map.Entry<Level, String> table : TABLES.entrySet()) {
            for (Variable variable : Dictionary.current().variables(table.getKey())) {
                if (ELSEWHERE.contains(variable.name())) {
                    continue;
                }
                String column = table.getValue() + "." + variable.name();
                assertThat(types).as(column).containsKey(column);
                assertThat(types.get(column)).as(column).isIn(expected(variable));
                String check = checks.getOrDefault(column, "");
                if (variable.coded()) {
                    assertThat(codes(check))
                            .as(column)
                            .containsExactlyElementsOf(
                                    variable.codes().stream().map(Code::value).toList());
                } else if (variable.hard().minimum() != null) {
                    assertThat(numbers(check))
                            .as(column)
                            .usingElementComparator(BigDecimal::compareTo)
                            .containsExactly(
                                    variable.hard().minimum(), variable.hard().maximum());
                }
                compared++;
            }
        }
        assertThat(compared).isEqualTo(97);
    }

    @Test
    void everyColumnOfARecordIsAVariableOrOneOfTheKeys() throws SQLException {
        Set<String> own = Set.of(
                "site_id",
                "encounter_id",
                "version",
                "course_no",
                "drug_no",
                "attempt_no",
                "event_no",
                "setup_no",
                "unknown",
                "status",
                "reason_code",
                "reason_text",
                "recorded_by",
                "written_at",
                "source_row",
                "salt",
                "confirmed",
                "title",
                "created_at",
                "created_by");
        for (Map.Entry<Level, String> table : TABLES.entrySet()) {
            for (String column : Sql.rows(
                    logins.owner(),
                    "select attname from pg_attribute where attrelid = '" + table.getValue()
                            + "'::regclass and attnum > 0 and not attisdropped")) {
                assertThat(own.contains(column) || Dictionary.current().contains(column))
                        .as(table.getValue() + "." + column)
                        .isTrue();
            }
        }
    }

    @Test
    void everyStratumIsAColumnOfTheFactRowWithANumberForEachCode() throws SQLException {
        for (Stratum stratum : Stratum.values()) {
            assertThat(stratum.column().getName()).isEqualTo(stratum.variable());
            assertThat(Sql.rows(
                            logins.owner(),
                            "select code from analysis.code where variable = '" + stratum.variable() + "' order by no"))
                    .as(stratum.variable())
                    .containsExactlyElementsOf(stratum.codes().stream()
                            .map(Code::value)
                            .filter(code -> !code.equals(Stratum.BLANK.value()))
                            .toList());
        }
    }

    private static List<String> expected(Variable variable) {
        return switch (variable.type()) {
            case INTEGER -> List.of("smallint", "integer");
            case NUMBER -> List.of("numeric");
            case STRING -> List.of("text", "uuid");
            case LIST -> List.of("text[]");
            case DATETIME -> List.of("timestamp with time zone");
            case DATE -> List.of("date");
        };
    }

    private Map<String, String> columns(String sql) throws SQLException {
        Map<String, String> columns = new HashMap<>();
        for (String row : Sql.rows(logins.owner(), sql)) {
            int equals = row.indexOf('=');
            columns.put(row.substring(0, equals), row.substring(equals + 1));
        }
        return columns;
    }

    private static List<String> codes(String check) {
        List<String> codes = new ArrayList<>();
        Matcher quoted = QUOTED.matcher(check);
        while (quoted.find()) {
            codes.add(quoted.group(1));
        }
        return codes;
    }

    private static List<BigDecimal> numbers(String check) {
        List<BigDecimal> numbers = new ArrayList<>();
        Matcher number = NUMBER.matcher(check);
        while (number.find()) {
            numbers.add(new BigDecimal(number.group(1)));
        }
        return numbers;
    }
}
