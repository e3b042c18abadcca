package airway.registry.access;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.io.IOException;
import java.net.http.HttpRequest;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.springframework.beans.factory.annotation.Autowired;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.core.annotation.AnnotatedElementUtils;
import org.springframework.web.bind.annotation.RequestMethod;
import org.springframework.web.method.HandlerMethod;
import org.springframework.web.servlet.mvc.method.annotation.RequestMappingHandlerMapping;

/** S1, S39: every route with every role, in an own unit, in another one, and with nobody signed in. */
class RolesWebTest extends ServedRegistry {
    private static final Path PAGE = Path.of("../docs/reference/roles.md");
    private static final List<RequestMethod> ANY = List.of(RequestMethod.GET);

    /** Shown to everybody; whether the answer is good depends on what is sent. */
    private static final String OPEN = "everybody";

    private static final String SIGNED_IN = "anybody signed in";

    @Autowired
    @Qualifier("requestMappingHandlerMapping")
    private RequestMappingHandlerMapping mapping;

    /** A route: method and pattern, and who may. */
    private record Route(String method, String pattern, String who) {}

    private List<Route> routes() {
        List<Route> routes = new ArrayList<>();
        mapping.getHandlerMethods().forEach((info, handler) -> {
            var methods = info.getMethodsCondition().getMethods();
            for (RequestMethod method : methods.isEmpty() ? ANY : methods) {
                for (String pattern : info.getPatternValues()) {
                    routes.add(new Route(method.name(), pattern, who(handler)));
                }
            }
        });
        routes.sort((a, b) -> (a.pattern() + a.method()).compareTo(b.pattern() + b.method()));
        return routes;
    }

    private static String who(HandlerMethod handler) {
        Needs needs = AnnotatedElementUtils.findMergedAnnotation(handler.getMethod(), Needs.class);
        if (needs == null && handler.hasMethodAnnotation(Open.class)) {
            return OPEN;
        }
        if (needs == null) {
            needs = AnnotatedElementUtils.findMergedAnnotation(handler.getBeanType(), Needs.class);
        }
        if (needs == null) {
            return AnnotatedElementUtils.hasAnnotation(handler.getBeanType(), Open.class) ? OPEN : "nobody";
        }
        Right[] rights = needs.value();
        return rights.length == 0
                ? SIGNED_IN
                : Arrays.stream(Role.values())
                        .filter(role -> Arrays.stream(rights).anyMatch(role::may))
                        .map(Role::code)
                        .collect(Collectors.joining(", "));
    }

    @Test
    void theReferenceSaysWhoMayDoWhat() throws IOException {
        StringBuilder page = new StringBuilder("""
                # Roles

                Who may do what, route by route: made from the program, which decides by nothing else. A role holds in the
                unit it was given for; what belongs to another unit is 404. The administrator and the auditor stand beside
                the units and see no record. No one is administrator and researcher.

                | role | what it is for | one-time code |
                | --- | --- | --- |
                """);
        for (Role role : Role.values()) {
            page.append("| `")
                    .append(role.code())
                    .append("` | ")
                    .append(role.words())
                    .append(" | ")
                    .append(role.secondFactor() ? "needed" : "")
                    .append(" |\n");
        }
        page.append("\n| route | who |\n| --- | --- |\n");
        for (Route route : routes()) {
            page.append("| `")
                    .append(route.method())
                    .append(' ')
                    .append(route.pattern())
                    .append("` | ")
                    .append(route.who())
                    .append(" |\n");
        }
        Path made = Path.of("target/pages/roles.md");
        Files.createDirectories(made.getParent());
        Files.writeString(made, page);
        assertThat(Files.readString(PAGE))
                .as("copy %s over it once you agree", made)
                .isEqualTo(page.toString());
    }

    @Test
    void noRouteIsForgotten() {
        assertThat(routes()).noneMatch(route -> route.who().equals("nobody")).hasSizeGreaterThan(50);
        for (Role role : Role.values()) {
            assertThat(role.rights())
                    .as("nobody who gives roles sees a record: %s", role)
                    .satisfies(rights -> assertThat(rights.contains(Right.ADMINISTER)
                                    && (rights.contains(Right.READ_RECORDS) || rights.contains(Right.READ_CHARTS)))
                            .isFalse());
        }
    }

    /**
     * The table of the reference is walked over HTTP. "May" is everything but 401 and 403: the requests are empty, so most
     * are turned away for another reason.
     */
    @Test
    void everyRouteLetsInWhoMayAndNobodyElse() {
        short own = strangeUnit().no();
        Map<Role, Tester> people = new EnumMap<>(Role.class);
        for (Role role : Role.values()) {
            people.put(role, Tester.fresh(LOGINS).with(role.besideUnits() ? null : own, role));
        }
        Tester nobody = Tester.fresh(LOGINS);
        Map<String, String> wrong = new TreeMap<>();
        for (Route route : routes()) {
            if (route.pattern().startsWith("/sign-") || route.pattern().equals("/error")) {
                continue; // Signing out ends the sessions that the others are asked with.
            }
            String path = route.pattern()
                    .replace("{id}", "00000000-0000-4000-8000-000000000000")
                    .replace("{encounter_id}", "00000000-0000-4000-8000-000000000000")
                    .replace("{version}", "1")
                    .replace("{slug}", "missing")
                    .replace("{quarter}", "2026-Q3")
                    .replace("{measure}", "fps")
                    .replace("{actor}", "999999")
                    .replace("{grant}", "999999")
                    .replace("{link}", "none");
            boolean open = route.who().equals(OPEN);
            int unknown = send(sent(bare(path), route)).status();
            boolean asked = unknown == 401 || unknown == 303;
            boolean form = route.method().equals("POST") && !path.startsWith("/api/");
            if (form ? !asked : asked == open) { // A form of a page wants the secret of a session, open or not.
                wrong.put(route.method() + " " + path + " as nobody known", String.valueOf(unknown));
            }
            people.forEach((role, person) -> {
                boolean may = open
                        || route.who().equals(SIGNED_IN)
                        || List.of(route.who().split(", ")).contains(role.code());
                int status = send(sent(request(path, person), route)).status();
                if (status >= 500 || (status != 403 && status != 401) != may) {
                    wrong.put(route.method() + " " + path + " as " + role.code(), String.valueOf(status));
                }
            });
            int roleless = send(sent(request(path, nobody), route)).status();
            boolean anybody = open || route.who().equals(SIGNED_IN);
            if ((roleless != 403) != anybody) {
                wrong.put(route.method() + " " + path + " without a role", String.valueOf(roleless));
            }
        }
        assertThat(wrong).isEmpty();
    }

    private static HttpRequest.Builder sent(HttpRequest.Builder request, Route route) {
        return switch (route.method()) {
            case "GET" -> request.GET();
            case "PUT" ->
                request.header("Content-Type", "application/json").PUT(HttpRequest.BodyPublishers.ofString("{}"));
            default ->
                route.pattern().startsWith("/api/")
                        ? request.header("Content-Type", "application/json")
                                .POST(HttpRequest.BodyPublishers.ofString("{}"))
                        : route.pattern().equals("/import") || route.pattern().equals("/quality/log")
                                ? request.header("Content-Type", "multipart/form-data; boundary=x")
                                        .POST(HttpRequest.BodyPublishers.ofString("--x--\r\n"))
                                : request.header("Content-Type", "application/x-www-form-urlencoded")
                                        .POST(HttpRequest.BodyPublishers.ofString(""));
        };
    }

    @Test
    void whatBelongsToAnotherUnitIsNotThere() {
        Site own = unit();
        Answer made = record("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-24T09:20:00+00:00",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(own.code()));
        assertThat(made.status()).isEqualTo(201);
        String id = made.json().path("encounter_id").asString();
        Tester stranger = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER, Role.IMPROVEMENT_LEAD);
        for (String path : List.of(
                "/api/v1/encounters/" + id,
                "/api/v1/encounters/" + id + "/versions",
                "/api/v1/encounters/" + id + "/versions/1",
                "/api/v1/reviews/" + id,
                "/records/" + id,
                "/records/" + id + "/history",
                "/records/" + id + "/amend",
                "/records?site_id=" + own.code(),
                "/record?site_id=" + own.code())) {
            assertThat(send(request(path, stranger).GET()).status()).as(path).isEqualTo(404);
        }
    }

    @Test
    void aRecorderPutsRightTheirOwnRecordsAndALeadAny() {
        Site unit = unit();
        String body = """
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-11-24T09:20:00+00:00",
                 "courses": [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]%s}""";
        String first = body.formatted(unit.code(), "");
        String amended = body.formatted(unit.code(), ", \"amendment\": {\"reason_code\": \"mistyped\"}");
        Tester author = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        Tester colleague = Tester.fresh(LOGINS).with(unit.no(), Role.RECORDER);
        Tester lead = Tester.fresh(LOGINS).with(unit.no(), Role.IMPROVEMENT_LEAD);
        Answer made = send(request("/api/v1/encounters", author)
                .header("Content-Type", "application/json")
                .header("Idempotency-Key", '"' + java.util.UUID.randomUUID().toString() + '"')
                .POST(HttpRequest.BodyPublishers.ofString(first)));
        assertThat(made.status()).as(made.text()).isEqualTo(201);
        String path = "/api/v1/encounters/" + made.json().path("encounter_id").asString();

        assertThat(amend(path, colleague, "v1", amended).status()).isEqualTo(403);
        assertThat(amend(path, author, "v1", amended).status()).isEqualTo(200);
        assertThat(amend(path, lead, "v2", amended).status()).isEqualTo(200);
        assertThat(send(request(path + "/withdrawal", colleague)
                                .header("Content-Type", "application/json")
                                .POST(HttpRequest.BodyPublishers.ofString("{\"reason_code\": \"duplicate\"}")))
                        .status())
                .isEqualTo(403);
        String page = path.replace("/api/v1/encounters", "/records");
        assertThat(send(request(page, colleague).GET()).text()).doesNotContain("Put it right");
        assertThat(send(request(page, author).GET()).text()).contains("Put it right");
    }

    private Answer amend(String path, Tester who, String version, String body) {
        return send(request(path, who)
                .header("Content-Type", "application/json")
                .header("If-Match", '"' + version + '"')
                .PUT(HttpRequest.BodyPublishers.ofString(body)));
    }
}
