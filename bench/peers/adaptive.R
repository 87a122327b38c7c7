# Adaptive Metropolis (Haario, Saksman & Tamminen 2001, Bernoulli 7:223) on the compiled posterior.
# adaptive.R LIBRARY DESCRIPTION STEPS DISCARDED RUNS: prints what each run found as JSON.

arguments <- commandArgs(trailingOnly = TRUE)
steps <- as.integer(arguments[3])
discarded <- as.integer(arguments[4])
runs <- as.integer(arguments[5])
dyn.load(arguments[1])
size <- .C("openPosterior", arguments[2], size = integer(1))$size
weigh <- getNativeSymbolInfo("logPosteriors")
logPosterior <- function(scores) .C(weigh, scores, 1L, found = 0)$found

# Steps between two looks at the history; every tenth step of it is kept, the earlier half of those left out.
pause <- 1000L
thinning <- 10L
scale <- 2.38 / sqrt(size)

# A draw from the prior, again where it is impossible.
startOf <- function() {
  repeat {
    here <- rnorm(size)
    if (is.finite(logPosterior(here))) return(here)
  }
}

sampleOnce <- function(seed) {
  set.seed(seed)
  began <- proc.time()
  here <- startOf()
  level <- logPosterior(here)
  history <- matrix(0, steps %/% thinning, size)
  # Until there is a history the prior's shape, narrowed.
  factor <- diag(0.3 * scale, size)
  for (first in seq(1L, steps, by = pause)) {
    if (first > 2L * pause) {
      known <- (first - 1L) %/% thinning
      factor <- scale * t(chol(cov(history[(known %/% 2L):known, ]) + diag(1e-6, size)))
    }
    jumps <- factor %*% matrix(rnorm(size * pause), size)
    chances <- log(runif(pause))
    for (turn in seq_len(pause)) {
      there <- here + jumps[, turn]
      new <- logPosterior(there)
      if (chances[turn] < new - level) {
        here <- there
        level <- new
      }
      step <- first + turn - 1L
      if (step %% thinning == 0L) history[step %/% thinning, ] <- here
    }
  }
  kept <- history[-seq_len(discarded %/% thinning), ]
  means <- colMeans(kept)
  variances <- colMeans(kept^2) - means^2
  took <- proc.time() - began
  list(seconds = took[[1]] + took[[2]], means = means, variances = variances)
}

row <- function(values) paste0("[", paste(sprintf("%.9g", values), collapse = ","), "]")
asJson <- function(run) sprintf(
  '{"seconds":%.6f,"evaluations":%d,"means":%s,"variances":%s}',
  run$seconds, steps, row(run$means), row(run$variances)
)
cat("[", paste(vapply(lapply(seq_len(runs), sampleOnce), asJson, ""), collapse = ","), "]\n", sep = "")
