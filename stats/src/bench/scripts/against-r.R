# The heavy questions of HeavyQuestions.java in R, and how much longer R takes. Called by against-r.sh.
#
# Only what R itself brings: the Debian archive has no package for Boschloo's test or for the interval of Miettinen and
# Nurminen. Both are written as is usual in R: vectors and matrices wherever possible, uniroot for the limits, the closed
# formula for the constrained proportions, 100 values of the common probability for Boschloo's test, the best made finer
# by optimize. The charts are vectors throughout.

seconds <- function(question, atLeast = 2) {
  question()
  times <- 1
  repeat {
    took <- system.time(for (i in seq_len(times)) question(), gcFirst = FALSE)[["elapsed"]]
    if (took >= atLeast) return(took / times)
    times <- max(2 * times, ceiling(times * 1.2 * atLeast / max(took, 0.01)))
  }
}

boschloo <- function(x1, n1, x2, n2) {
  fisher <- matrix(0, n1 + 1, n2 + 1)
  for (s in 0:(n1 + n2)) {
    x <- max(0, s - n2):min(n1, s)
    p <- dhyper(x, n1, n2, s)
    inOrder <- order(p)
    sums <- cumsum(p[inOrder])
    fisher[cbind(x + 1, s - x + 1)] <- sums[findInterval(p * (1 + 1e-7), p[inOrder])]
  }
  extreme <- fisher <= fisher[x1 + 1, x2 + 1] * (1 + 1e-7)
  probability <- function(p) drop(dbinom(0:n1, n1, p) %*% extreme %*% dbinom(0:n2, n2, p))
  grid <- (1:99) / 100
  best <- grid[which.max(vapply(grid, probability, 0))]
  optimize(probability, c(best - 0.01, best + 0.01), maximum = TRUE, tol = 1e-9)$objective
}

miettinenNurminen <- function(x1, n1, x2, n2, level) {
  n <- n1 + n2
  d <- x1 / n1 - x2 / n2
  z2 <- qchisq(level, 1)
  excess <- function(delta) {
    l2 <- (n1 + 2 * n2) * delta - n - (x1 + x2)
    l1 <- (n2 * delta - n - 2 * x2) * delta + x1 + x2
    l0 <- x2 * delta * (1 - delta)
    q <- l2^3 / (3 * n)^3 - l1 * l2 / (6 * n^2) + l0 / (2 * n)
    p <- sign(q) * sqrt(l2^2 / (3 * n)^2 - l1 / (3 * n))
    a <- (pi + acos(max(-1, min(1, q / p^3)))) / 3
    p2 <- 2 * p * cos(a) - l2 / (3 * n)
    p1 <- p2 + delta
    (d - delta)^2 - z2 * (p1 * (1 - p1) / n1 + p2 * (1 - p2) / n2) * n / (n - 1)
  }
  c(d, uniroot(excess, c(-1 + 1e-9, d), tol = 1e-12)$root, uniroot(excess, c(d, 1 - 1e-9), tol = 1e-12)$root)
}

pChart <- function(successes, cases) {
  centre <- sum(successes) / sum(cases)
  value <- successes / cases
  sigma <- sqrt(centre * (1 - centre) / cases)
  lower <- pmax(0, centre - 3 * sigma)
  upper <- pmin(1, centre + 3 * sigma)
  chi2 <- sum(((value - centre) / sigma)^2)
  list(
    points = data.frame(value, lower, upper, signal = value > upper + 1e-9 | value < lower - 1e-9),
    small = mean(cases * min(centre, 1 - centre) < 5) > 0.25,
    dispersion = pchisq(chi2, length(cases) - 1, lower.tail = FALSE)
  )
}

anhoej <- function(values) {
  centre <- median(values)
  side <- sign(values - centre)
  side <- side[side != 0]
  runs <- rle(side)$lengths
  n <- length(side)
  max(runs) > round(log2(n) + 3) || length(runs) - 1 < qbinom(0.05, n - 1, 0.5)
}

# The answers that the tests of the module check too: a fast wrong answer is none.
stopifnot(
  abs(boschloo(140, 200, 120, 200) - 0.0402307397) < 1e-8,
  all.equal(miettinenNurminen(56, 70, 48, 80, 0.95), c(0.2, 0.0528, 0.3382), tolerance = 1e-3)
)

set.seed(1)
cases <- sample(20:60, 10000, replace = TRUE)
successes <- rbinom(10000, cases, 0.8)
charts <- lapply(1:1000, function(i) runif(24))

r <- c(
  anhoej = seconds(function() sum(vapply(charts, anhoej, NA))),
  boschloo = seconds(function() boschloo(140, 200, 120, 200)),
  miettinenNurminen = seconds(function() miettinenNurminen(140, 200, 120, 200, 0.95)),
  pChart = seconds(function() pChart(successes, cases))
) * 1e6
goal <- c(anhoej = 1, boschloo = 10, miettinenNurminen = 10, pChart = 1)

json <- paste(readLines(commandArgs(trailingOnly = TRUE)[1]), collapse = " ")
ours <- vapply(names(r), function(question) {
  found <- regmatches(json, regexec(paste0("HeavyQuestions\\.", question, "\".*?\"score\" *: *([0-9.eE+-]+)"), json, perl = TRUE))
  as.numeric(found[[1]][2])
}, 0)
if (anyNA(ours)) stop("no figure in the file for: ", paste(names(r)[is.na(ours)], collapse = ", "))

cat(R.version.string, "\n")
cat(sprintf("%-20s %14s %14s %10s %12s %8s %s\n", "question", "ours, us", "R, us", "ours/R", "R/ours", "goal", ""))
met <- r / ours >= goal
cat(sprintf(
  "%-20s %14.1f %14.1f %10.4f %12.1f %8d %s\n",
  names(r), ours, r, ours / r, r / ours, as.integer(goal), ifelse(met, "met", "MISSED")
), sep = "")
quit(status = if (all(met)) 0 else 1)
