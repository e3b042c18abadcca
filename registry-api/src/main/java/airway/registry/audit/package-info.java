/** Who did what and when: the chain that seals it, the heads kept outside the database, and the auditor's page. */
@NullMarked
package airway.registry.audit;

import org.jspecify.annotations.NullMarked;
