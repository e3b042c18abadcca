/** The variable dictionary: what each answer means, which answers are allowed, and when a question is asked. */
@NullMarked
package airway.registry.dictionary;

import org.jspecify.annotations.NullMarked;
