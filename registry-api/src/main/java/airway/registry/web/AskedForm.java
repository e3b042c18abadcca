package airway.registry.web;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.List;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.InvalidMediaTypeException;
import org.springframework.http.MediaType;

/** In which of the forms offered an answer is asked for: a link in a page cannot set a header and names the form instead. */
public final class AskedForm {
    private AskedForm() {}

    /**
     * The form named, else the first one offered that the header takes, else the first one offered.
     *
     * @param named value of the parameter {@code format}, as csv; null where it is left out
     * @throws Problem.Malformed if there is no such form, or the header is none
     */
    public static MediaType of(@Nullable String named, @Nullable String accept, List<MediaType> offered) {
        if (named != null) {
            return offered.stream()
                    .filter(form -> name(form).equals(named))
                    .findFirst()
                    .orElseThrow(() -> new Problem.Malformed(Fault.parameter(
                            "format",
                            "format",
                            "Send " + offered.stream().map(AskedForm::name).collect(Collectors.joining(" or "))
                                    + ".")));
        }
        return taken(accept).stream()
                .flatMap(type -> offered.stream().filter(type::isCompatibleWith))
                .findFirst()
                .orElse(offered.get(0));
    }

    /** The short name of a form: svg for image/svg+xml. */
    private static String name(MediaType form) {
        return form.getSubtype().replace("+xml", "");
    }

    private static List<MediaType> taken(@Nullable String accept) {
        try {
            return accept == null ? List.of(MediaType.ALL) : MediaType.parseMediaTypes(accept);
        } catch (InvalidMediaTypeException e) {
            throw new Problem.Malformed(
                    Fault.parameter(HttpHeaders.ACCEPT, "accept", "Send a media type, or leave the header out."));
        }
    }
}
