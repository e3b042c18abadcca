/**
 * Invented data: three units that do not exist, drawn by chance from a seed and set so that published figures come out.
 * Every record goes through the same door as a real one. The parameters and their sources: docs/topics/demo-data.md.
 */
@NullMarked
package airway.registry.demo;

import org.jspecify.annotations.NullMarked;
