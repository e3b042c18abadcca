/**
 * The database: its migrations, and the PostgreSQL server that comes along where no other is named. The classes below
 * {@code airway.sql.generated} are made from the migrations at build.
 */
@NullMarked
package airway.sql;

import org.jspecify.annotations.NullMarked;
