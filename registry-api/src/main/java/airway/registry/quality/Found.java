package airway.registry.quality;

import java.util.List;

/**
 * Things found, the newest first.
 *
 * @param items the newest
 * @param total how many there are in all
 */
record Found(List<Item> items, int total) {
    boolean more() {
        return total > items.size();
    }
}
