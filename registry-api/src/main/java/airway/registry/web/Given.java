package airway.registry.web;

import java.util.List;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;

/** What a form of filters asked for: a browser sends the fields that were left empty too, and they ask for nothing. */
public final class Given {
    private Given() {}

    /** The same without what is blank; a copy that may be changed. */
    public static MultiValueMap<String, String> of(MultiValueMap<String, String> parameters) {
        MultiValueMap<String, String> given = new LinkedMultiValueMap<>();
        parameters.forEach((name, values) -> {
            List<String> filled =
                    values.stream().filter(value -> !value.isBlank()).toList();
            if (!filled.isEmpty()) {
                given.put(name, filled);
            }
        });
        return given;
    }
}
