package airway.registry.people;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Role;
import airway.registry.access.SignInPolicy;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.stream.Collectors;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.core.env.Environment;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.servlet.ModelAndView;

/** The settings in force, as they were read at the start; secrets are not among them. */
@Needs(Right.ADMINISTER)
@Controller
@ConditionalOnWebApplication
class SettingPages {
    private static final Map<String, String> NAMES = new LinkedHashMap<>();

    static {
        NAMES.put("airway.demo", "Demonstration with invented data");
        NAMES.put("airway.database.mode", "Which database");
        NAMES.put("server.address", "Address it listens at");
        NAMES.put("server.port", "Port");
        NAMES.put("airway.public-url", "Address browsers use");
        NAMES.put("airway.requests-per-second", "Requests one may send in a second");
        NAMES.put("server.servlet.session.cookie.name", "Name of the session's cookie");
    }

    private final Environment environment;
    private final SignInPolicy policy;

    SettingPages(Environment environment, SignInPolicy policy) {
        this.environment = environment;
        this.policy = policy;
    }

    /** A setting as the page shows it. */
    public record Line(String name, String words, String value) {}

    @GetMapping("/settings")
    ModelAndView settings() {
        return new ModelAndView("people/settings")
                .addObject(
                        "lines",
                        NAMES.entrySet().stream()
                                .map(name -> new Line(
                                        name.getKey(),
                                        name.getValue(),
                                        environment.getProperty(name.getKey(), "not set")))
                                .toList())
                .addObject(
                        "codesFor",
                        policy.secondFactorFor().stream()
                                .sorted()
                                .map(Role::title)
                                .collect(Collectors.joining(", ")))
                .addObject("longest", SignInPolicy.LONGEST.toHours());
    }
}
