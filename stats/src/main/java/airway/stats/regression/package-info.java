/**
 * Does the difference stay once other recorded differences are allowed for? Logistic regression by covariate patterns: by
 * maximum likelihood, by Firth's method where that fails, with variances for clusters, and as risks that a clinician can
 * read. An adjusted comparison is observational: it allows for what was recorded before the choice and for nothing else.
 */
@NullMarked
package airway.stats.regression;

import org.jspecify.annotations.NullMarked;
