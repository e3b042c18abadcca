/** The way to the database: which server, whether it keeps records safely, and the scope of each transaction. */
@NullMarked
package airway.registry.database;

import org.jspecify.annotations.NullMarked;
