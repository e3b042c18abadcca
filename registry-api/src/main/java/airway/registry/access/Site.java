package airway.registry.access;

import java.time.ZoneId;

/**
 * A unit that contributes records.
 *
 * @param no small key inside the database
 * @param code short local code, {@code site_id} in the API
 * @param zone months and quarters are those of this zone
 * @param invented its data are invented, and every page says so
 */
public record Site(short no, String code, String title, String kind, ZoneId zone, boolean invented) {}
