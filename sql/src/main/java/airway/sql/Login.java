package airway.sql;

/** How to reach a database as one role; the password never shows in text. */
public record Login(String url, String user, String password) {
    @Override
    public String toString() {
        return user + " at " + url;
    }
}
