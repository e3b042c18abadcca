package airway.registry.imports;

import java.util.List;

/**
 * Where one attempt of a row stands.
 *
 * @param present columns of which one filled cell says that there was such an attempt; empty: there always was
 * @param columns what the columns of the attempt mean
 */
record AttemptRule(List<String> present, List<ColumnRule> columns) {}
