package airway.registry.demo;

import java.util.ArrayList;
import java.util.List;

/** Codes with their weights, written {@code "f 46, m 54"}; the weights need not add up to anything. */
record Mix(List<String> codes, List<Double> weights) {
    static Mix of(String text) {
        List<String> codes = new ArrayList<>();
        List<Double> weights = new ArrayList<>();
        for (String part : text.split(",", -1)) {
            String[] pair = part.strip().split(" ", -1);
            codes.add(pair[0]);
            weights.add(Double.parseDouble(pair[1]));
        }
        return new Mix(List.copyOf(codes), List.copyOf(weights));
    }

    /** The same with the weight of one code multiplied. */
    Mix times(String code, double factor) {
        List<Double> changed = new ArrayList<>(weights);
        int place = codes.indexOf(code);
        changed.set(place, changed.get(place) * factor);
        return new Mix(codes, changed);
    }
}
