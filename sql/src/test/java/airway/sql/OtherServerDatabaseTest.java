package airway.sql;

import static org.assertj.core.api.Assertions.assertThatCode;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class OtherServerDatabaseTest {
    private final TestDatabase.Logins logins = TestDatabase.empty();

    @AfterEach
    void forgetTheRole() {
        TestDatabase.change("drop role if exists airway_strong");
    }

    private static Login at(String url, Login login) {
        return new Login(url, login.user(), login.password());
    }

    /** S31 */
    @Test
    void refusesOneRoleForBoth() {
        assertThatThrownBy(() -> OtherServer.check(logins.owner(), logins.owner(), true))
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining("the same role");
    }

    /** S31 */
    @ParameterizedTest
    @CsvSource({
        "superuser, is a superuser",
        "bypassrls, passes by row security",
        "in role airway_owner, is a member of airway_owner"
    })
    void refusesARoleOfTheApplicationThatCouldDoMoreThanItMay(String power, String words) {
        TestDatabase.change("create role airway_strong login " + power);
        Login strong = new Login(logins.app().url(), "airway_strong", "");
        assertThatThrownBy(() -> OtherServer.check(logins.owner(), strong, true))
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining(words);
    }

    @Test
    void takesTwoRolesOfWhichOneIsBounded() {
        assertThatCode(() -> OtherServer.check(logins.owner(), logins.app(), true))
                .doesNotThrowAnyException();
    }

    /** S37 */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "jdbc:postgresql://db.example:5432/airway",
                "jdbc:postgresql://db.example/airway?sslmode=require",
                "jdbc:postgresql://db.example/airway?sslmode=verify-ca",
                "jdbc:postgresql://127.0.0.1,db.example/airway"
            })
    void refusesToCrossANetworkWithoutAProofOfTheServer(String url) {
        assertThatThrownBy(() -> OtherServer.check(at(url, logins.owner()), at(url, logins.app()), false))
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining("sslmode=verify-full");
    }

    /** S37: this server has no certificate, so the driver is the one that refuses. */
    @Test
    void refusesAServerThatProvesNothing() {
        Login owner = at(logins.owner().url() + "?sslmode=verify-full", logins.owner());
        Login app = at(logins.app().url() + "?sslmode=verify-full", logins.app());
        assertThatThrownBy(() -> OtherServer.check(owner, app, false))
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining("SSL");
    }

    @Test
    void refusesWhatIsNoAddress() {
        Login owner = at("postgres://db.example/airway", logins.owner());
        assertThatThrownBy(() -> OtherServer.check(owner, logins.app(), false))
                .isInstanceOf(CannotStart.class)
                .hasMessageContaining("no address");
    }
}
