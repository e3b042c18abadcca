package airway.registry.web;

import java.security.SecureRandom;
import java.util.Base64;
import java.util.List;
import org.springframework.beans.factory.ObjectProvider;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.http.HttpHeaders;
import org.springframework.security.config.annotation.web.builders.HttpSecurity;
import org.springframework.security.config.annotation.web.configurers.AbstractHttpConfigurer;
import org.springframework.security.web.SecurityFilterChain;
import org.springframework.security.web.authentication.session.ChangeSessionIdAuthenticationStrategy;
import org.springframework.security.web.authentication.session.CompositeSessionAuthenticationStrategy;
import org.springframework.security.web.authentication.session.SessionAuthenticationStrategy;
import org.springframework.security.web.context.HttpSessionSecurityContextRepository;
import org.springframework.security.web.context.SecurityContextRepository;
import org.springframework.security.web.csrf.CsrfAuthenticationStrategy;
import org.springframework.security.web.csrf.CsrfFilter;
import org.springframework.security.web.csrf.CsrfTokenRepository;
import org.springframework.security.web.csrf.HttpSessionCsrfTokenRepository;
import org.springframework.session.config.SessionRepositoryCustomizer;
import org.springframework.session.jdbc.JdbcIndexedSessionRepository;

/** Who stands before the door: sessions, and that a form was sent from our own page by the one who opened it. */
@Configuration(proxyBeanMethods = false)
@ConditionalOnWebApplication
class Door {
    private static final int SESSION_BYTES = 32;

    /**
     * The chain of Spring Security. It only tells who somebody is; what they may do is decided where it is known what was
     * asked, in {@link Doorkeeper}. A request with a token has no session, so nothing another site could make use of.
     */
    @Bean
    SecurityFilterChain filters(
            HttpSecurity http,
            CsrfTokenRepository tokens,
            SecurityContextRepository contexts,
            ObjectProvider<DoorPart> parts) {
        parts.forEach(part -> part.add(http));
        return http.authorizeHttpRequests(requests -> requests.anyRequest().permitAll())
                .csrf(csrf -> csrf.csrfTokenRepository(tokens)
                        .ignoringRequestMatchers(
                                request -> request.getRequestURI().startsWith("/api/")
                                        && request.getHeader(HttpHeaders.AUTHORIZATION) != null))
                .addFilterAfter(new SecretSpent(), CsrfFilter.class)
                .securityContext(context -> context.securityContextRepository(contexts))
                .exceptionHandling(handling -> handling.accessDeniedHandler(new ForeignForm()))
                .headers(AbstractHttpConfigurer::disable)
                .requestCache(AbstractHttpConfigurer::disable)
                .logout(AbstractHttpConfigurer::disable)
                .formLogin(AbstractHttpConfigurer::disable)
                .httpBasic(AbstractHttpConfigurer::disable)
                .build();
    }

    @Bean
    CsrfTokenRepository csrfTokens() {
        HttpSessionCsrfTokenRepository tokens = new HttpSessionCsrfTokenRepository();
        tokens.setParameterName(SecretSpent.FIELD);
        return tokens;
    }

    @Bean
    SecurityContextRepository securityContexts() {
        return new HttpSessionSecurityContextRepository();
    }

    /** At the sign-in the session gets a new name and a new secret for its forms. */
    @Bean
    SessionAuthenticationStrategy atSignIn(CsrfTokenRepository tokens) {
        return new CompositeSessionAuthenticationStrategy(
                List.of(new ChangeSessionIdAuthenticationStrategy(), new CsrfAuthenticationStrategy(tokens)));
    }

    /** The name of a session is a secret: 256 random bits, where the library's own would have 122. */
    @Bean
    SessionRepositoryCustomizer<JdbcIndexedSessionRepository> longNames() {
        SecureRandom random = new SecureRandom();
        return sessions -> sessions.setSessionIdGenerator(() -> {
            byte[] bytes = new byte[SESSION_BYTES];
            random.nextBytes(bytes);
            return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
        });
    }
}
