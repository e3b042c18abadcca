package airway.registry.web;

import jakarta.servlet.http.HttpServletRequest;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;

/** The way to the sign-in and back to where one wanted to go; only ever back to a page of this registry. */
public final class SignInFirst {
    private static final String PATH = "/sign-in";

    private SignInFirst() {}

    static String path(HttpServletRequest request) {
        String query = request.getQueryString();
        String wanted = request.getRequestURI() + (query == null ? "" : "?" + query);
        return wanted.equals("/") ? PATH : PATH + "?to=" + URLEncoder.encode(wanted, StandardCharsets.UTF_8);
    }

    /** Where to go after the sign-in: the page that was asked for if it is one of ours, else the front page. */
    public static String back(String wanted) {
        boolean ours = wanted.startsWith("/")
                && !wanted.startsWith("//")
                && wanted.chars().allMatch(c -> c > ' ' && c < 127 && c != '\\')
                && !wanted.startsWith(PATH);
        return ours ? wanted : "/";
    }
}
