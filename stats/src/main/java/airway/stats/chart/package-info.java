/**
 * Has something changed? Control charts and run charts: points in order of time, a centre line, limits frozen on a
 * baseline, and the points that signal. Points are numbered from 1. Nothing here draws.
 */
@NullMarked
package airway.stats.chart;

import org.jspecify.annotations.NullMarked;
