# The heavy questions of HeavyQuestions.java, HeavyModels.java and RunLengths.java in R, and how much longer R takes. Called
# by against-r.sh.
#
# Packages that Debian has: sandwich for variances of clusters, spc for run lengths of normal data, which is compiled code
# called for each chart. Debian has none for Boschloo's test, the interval of Miettinen and Nurminen, Firth's method with
# profile limits or run lengths of single cases. These are written as is usual in R: vectors and matrices wherever possible,
# uniroot for the limits of the interval, the closed formula for the constrained proportions, 100 values of the common
# probability for Boschloo's test, the best made finer by optimize. The charts are vectors throughout. Firth's limits are
# sought as ours are, by Newton's steps on the root of the likelihood lost, for uniroot would take several times as long. Run
# lengths of single cases come from a Markov chain on a grid of 200 steps, solve() doing the work; ours are exact.
#
# 10,000 simulated run lengths of one chart stand beside the one run length that ours computes instead: the mean of so many is
# good to two figures.
#
# The models have the same cases in both, by law and not one by one: patterns as counts with weights, rows all different. Of the
# 10,000 charts R is asked every 101st of the single cases and every eleventh of the others, and the time multiplied.

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

# Firth's method: climbs the penalised likelihood, all coefficients but the kept one free.
climb <- function(x, s, n, beta, kept = integer()) {
  free <- setdiff(seq_along(beta), kept)
  at <- function(beta) {
    eta <- drop(x %*% beta)
    p <- plogis(eta)
    w <- n * p * (1 - p)
    root <- chol(crossprod(x, w * x))
    h <- w * rowSums((x %*% chol2inv(root)) * x)
    list(
      beta = beta, value = sum(s * eta - n * log1p(exp(eta))) + sum(log(diag(root))),
      score = drop(crossprod(x, s - n * p + h * (0.5 - p))), root = root, bent = crossprod(x, (n + h) * p * (1 - p) * x)
    )
  }
  here <- at(beta)
  for (step in 1:100) {
    change <- solve(here$bent[free, free], here$score[free])
    share <- 1
    repeat {
      beta <- here$beta
      beta[free] <- beta[free] + share * change
      there <- at(beta)
      if (there$value >= here$value - 1e-12 * abs(here$value) || share < 1e-10) break
      share <- share / 2
    }
    here <- there
    if (max(abs(change)) < 1e-10) break
  }
  here
}

firth <- function(x, s, n) {
  top <- climb(x, s, n, rep(0, ncol(x)))
  covariance <- chol2inv(top$root)
  z <- qnorm(0.975)
  t(vapply(seq_len(ncol(x)), function(j) {
    tangent <- covariance[, j] / covariance[j, j]
    near <- function(value, point) climb(x, s, n, point$beta + (value - point$beta[j]) * tangent, j)
    limit <- function(side) {
      value <- top$beta[j] + side * z * sqrt(covariance[j, j])
      point <- top
      for (step in 1:20) {
        point <- near(value, point)
        lost <- sqrt(max(0, 2 * (top$value - point$value)))
        change <- (lost - z) * lost / point$score[j]
        value <- value + change
        if (abs(change) < 1e-10) break
      }
      value
    }
    lost <- 2 * (top$value - near(0, top)$value)
    c(top$beta[j], limit(-1), limit(1), pchisq(lost, 1, lower.tail = FALSE))
  }, numeric(4)))
}

maximum <- function(x, s, n) {
  summary(suppressWarnings(glm.fit(x, s / n, weights = n, family = binomial())) |> structure(class = c("glm", "lm")))$coefficients
}

robust <- function(x, s, n, cluster) {
  fit <- glm(cbind(s, n - s) ~ x - 1, family = binomial())
  v <- sandwich::vcovCL(fit, cluster = cluster, type = "HC0")
  cbind(coef(fit), sqrt(diag(v)))
}

# Average run lengths. Two-sided ones of sums from those of either side.
cusum <- function(k, h, shift) {
  1 / (1 / spc::xcusum.arl(k, h, shift) + 1 / spc::xcusum.arl(k, h, -shift))
}

ewma <- function(lambda, width, shift) spc::xewma.arl(lambda, width, shift, sided = "two")

simulated <- function(k, h, shift, runs = 10000) {
  above <- below <- numeric(runs)
  points <- 0
  while (length(above) > 0) {
    points <- points + length(above)
    x <- rnorm(length(above), shift)
    above <- pmax(0, above + x - k)
    below <- pmax(0, below - x - k)
    on <- above <= h & below <= h
    above <- above[on]
    below <- below[on]
  }
  points / runs
}

bernoulliCusum <- function(p0, h, odds = 2, steps = 200) {
  p1 <- plogis(qlogis(p0) + log(odds))
  at <- 0:(steps - 1)
  up <- at + round(log(p1 / p0) * steps / h)
  down <- pmax(0, at + round(log((1 - p1) / (1 - p0)) * steps / h))
  stay <- matrix(0, steps, steps)
  stay[cbind(at + 1, down + 1)] <- 1 - p0
  inside <- up < steps
  stay[cbind(at + 1, up + 1)[inside, , drop = FALSE]] <- stay[cbind(at + 1, up + 1)[inside, , drop = FALSE]] + p0
  solve(diag(steps) - stay, rep(1, steps))[1]
}

# A run length from the tables, one by design, and a Firth model with a cell for each group, which adds half a case to each
# cell.
stopifnot(
  abs(cusum(0.5, 4, 0) - 167.68) < 0.05,
  abs(ewma(0.2, 2.86, 0) - 370) < 2,
  abs(simulated(0.5, 4, 0) - 167.68) < 10,
  all.equal(firth(cbind(1, c(0, 1)), c(0, 3), c(5, 6))[, 1], c(qlogis(0.5 / 6), qlogis(3.5 / 7) - qlogis(0.5 / 6)), tolerance = 1e-8)
)

million <- 1e6
x <- cbind(sample(0:1, million, TRUE), sample(0:1, million, TRUE), sample(0:1, million, TRUE), sample(0:4, million, TRUE), sample(0:9, million, TRUE))
outcome <- as.numeric(runif(million) < plogis(0.5 * x[, 1] - 0.3 * x[, 2] + 0.2 * x[, 4]))
pattern <- drop(x %*% c(1, 2, 4, 8, 40))
grouped <- function(by, columns) {
  first <- !duplicated(by)
  totals <- rowsum(cbind(outcome, 1), by, reorder = FALSE)
  list(x = cbind(1, columns[first, ]), s = totals[, 1], n = totals[, 2], by = by[first])
}
few <- grouped(pattern, x)
operator <- seq_len(million) %% 200
clusters <- grouped(pattern + 1000 * operator, x)
rows <- cbind(1, x)
rows[, 5] <- rows[, 5] + runif(million)
chart <- seq(0, 9999, by = 11)
single <- seq(0, 9999, by = 101)

r <- c(
  patterns = seconds(function() maximum(few$x, few$s, few$n)),
  rows = seconds(function() maximum(rows, outcome, rep(1, million))),
  firth = seconds(function() firth(few$x, few$s, few$n)),
  firthRows = system.time(firth(rows, outcome, rep(1, million)))[["elapsed"]],
  clusterRobust = seconds(function() robust(clusters$x, clusters$s, clusters$n, clusters$by %/% 1000)),
  bernoulliCusum = 10000 / length(single) * seconds(function() {
    mapply(bernoulliCusum, 0.02 + 0.0038 * (single %% 100), 2 + 0.03 * (single %/% 100))
  }),
  cusum = 10000 / length(chart) * seconds(function() {
    mapply(cusum, 0.25 + 0.005 * (chart %% 100), 3 + 0.02 * (chart %/% 100), chart %% 10 / 10)
  }),
  ewma = 10000 / length(chart) * seconds(function() {
    mapply(ewma, 0.1 + 0.008 * (chart %% 100), 2.5 + 0.005 * (chart %/% 100), chart %% 10 / 10)
  }),
  simulated = seconds(function() simulated(0.5, 4, 0)),
  anhoej = seconds(function() sum(vapply(charts, anhoej, NA))),
  boschloo = seconds(function() boschloo(140, 200, 120, 200)),
  miettinenNurminen = seconds(function() miettinenNurminen(140, 200, 120, 200, 0.95)),
  pChart = seconds(function() pChart(successes, cases))
) * 1e6
goal <- c(
  patterns = 1, rows = 1, firth = 10, firthRows = 10, clusterRobust = 1, bernoulliCusum = 10, cusum = 10, ewma = 10,
  simulated = 10, anhoej = 1, boschloo = 10, miettinenNurminen = 10, pChart = 1
)

json <- paste(readLines(commandArgs(trailingOnly = TRUE)[1]), collapse = " ")
figure <- function(question) {
  found <- regmatches(json, regexec(paste0("\\.", question, "\".*?\"score\" *: *([0-9.eE+-]+)"), json, perl = TRUE))
  as.numeric(found[[1]][2])
}
ours <- vapply(names(r), function(question) if (question == "simulated") figure("cusum") / 10000 else figure(question), 0)
if (anyNA(ours)) stop("no figure in the file for: ", paste(names(r)[is.na(ours)], collapse = ", "))

cat(R.version.string, "\n")
cat(sprintf("%-20s %14s %14s %10s %12s %8s %s\n", "question", "ours, us", "R, us", "ours/R", "R/ours", "goal", ""))
met <- r / ours >= goal
cat(sprintf(
  "%-20s %14.1f %14.1f %10.4f %12.1f %8d %s\n",
  names(r), ours, r, ours / r, r / ours, as.integer(goal), ifelse(met, "met", "MISSED")
), sep = "")
quit(status = if (all(met)) 0 else 1)
