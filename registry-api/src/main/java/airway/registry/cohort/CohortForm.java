package airway.registry.cohort;

import airway.registry.access.Site;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.DateTimeException;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * A cohort as request parameters: {@code site_id}, {@code from}, {@code to}, {@code device_setup_id} and one parameter
 * for each variable to filter by; a repeated name means any of its values.
 */
public final class CohortForm {
    private static final Pattern PERIOD = Pattern.compile("((?:19|20)\\d\\d)(?:-(0[1-9]|1[0-2])|-Q([1-4]))?");

    private static final Pattern SETUP = Pattern.compile("[a-z0-9][a-z0-9_-]{0,63}");

    private final Map<String, List<String>> parameters;
    private final List<Fault> faults;

    private CohortForm(Map<String, List<String>> parameters, List<Fault> faults) {
        this.parameters = parameters;
        this.faults = faults;
    }

    /**
     * Reads a cohort.
     *
     * @param parameters of the request
     * @param others names that are read elsewhere
     * @param sites the units of the one who asks
     * @param faults faults found so far
     * @throws Problem.Malformed with all faults, the earlier ones included
     */
    public static Cohort read(
            Map<String, List<String>> parameters, Set<String> others, List<Site> sites, List<Fault> faults) {
        CohortForm form = new CohortForm(parameters, new ArrayList<>(faults));
        for (String name : parameters.keySet()) {
            if (!others.contains(name)
                    && !Set.of("site_id", "from", "to", "device_setup_id").contains(name)
                    && Stratum.named(name).isEmpty()) {
                form.faults.add(Fault.parameter(name, "parameter.unknown", "There is no such filter; leave it out."));
            }
        }
        List<Site> asked = form.sites(sites);
        Cohort cohort = new Cohort(
                asked,
                form.month("from", true),
                form.month("to", false),
                form.filters(),
                form.setups(),
                asked.size() > 1 && asked.size() == sites.size());
        YearMonth from = cohort.from();
        YearMonth to = cohort.to();
        if (from != null && to != null && from.isAfter(to)) {
            form.faults.add(Fault.parameter(
                    "to", "period.order", "The end lies before the beginning; choose a later end, or leave it out."));
        }
        if (!form.faults.isEmpty()) {
            throw new Problem.Malformed("The request has parameters that cannot be taken.", form.faults);
        }
        return cohort;
    }

    private List<Site> sites(List<Site> all) {
        Set<String> named = values("site_id");
        List<Site> sites = all.stream()
                .filter(site -> named.isEmpty() || named.contains(site.code()))
                .toList();
        if (sites.size() < named.size()) {
            faults.add(Fault.parameter("site_id", "site.unknown", "Name units of yours."));
        }
        return sites;
    }

    private @Nullable YearMonth month(String name, boolean first) {
        Set<String> values = values(name);
        if (values.isEmpty()) {
            return null;
        }
        Matcher period = PERIOD.matcher(values.iterator().next());
        if (values.size() > 1 || !period.matches()) {
            faults.add(
                    Fault.parameter(name, "period.form", "Send one month, quarter or year: 2025-03, 2025-Q1 or 2025."));
            return null;
        }
        int year = Integer.parseInt(period.group(1));
        int month = first ? 1 : 12;
        if (period.group(2) != null) {
            month = Integer.parseInt(period.group(2));
        } else if (period.group(3) != null) {
            month = Integer.parseInt(period.group(3)) * 3 - (first ? 2 : 0);
        }
        try {
            return YearMonth.of(year, month);
        } catch (DateTimeException e) {
            throw new IllegalStateException(e);
        }
    }

    private Map<Stratum, Set<String>> filters() {
        Map<Stratum, Set<String>> filters = new TreeMap<>();
        for (String name : parameters.keySet()) {
            Stratum.named(name).ifPresent(stratum -> {
                for (String code : values(name)) {
                    if (!stratum.has(code)) {
                        faults.add(Fault.parameter(
                                name,
                                "code",
                                "Allowed are "
                                        + String.join(
                                                ", ",
                                                stratum.codes().stream()
                                                        .map(known -> known.value())
                                                        .toList())
                                        + "."));
                    }
                }
                if (!values(name).isEmpty()) {
                    filters.put(stratum, values(name));
                }
            });
        }
        return filters;
    }

    private Set<String> setups() {
        Set<String> setups = values("device_setup_id");
        if (!setups.stream().allMatch(id -> SETUP.matcher(id).matches())) {
            faults.add(Fault.parameter("device_setup_id", "setup.form", "Name set-ups by their keys."));
        }
        return setups;
    }

    /** The values of a parameter; an empty one, as a form sends it, is none. */
    private Set<String> values(String name) {
        Set<String> values = new LinkedHashSet<>(parameters.getOrDefault(name, List.of()));
        values.remove("");
        return values;
    }
}
