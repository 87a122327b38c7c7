# The same model of the water solved by deSolve's general solvers, restarted at every stop. The derivative is in R, or in C
# (slope.c) where a library of it is loaded.

columns <- c(1, 2, 3, 4, 5, 6, 7, 10)

# Derivative of the eight levels between two stops.
slope <- function(t, y, p) {
  with(p, {
    a <- y[1]; n <- y[2]; x <- y[3]; food <- y[4]; dissolved <- y[5]; qa <- y[6]; qn <- y[7]; k <- y[8]
    awakeA <- 1 - sleepA * exp(-(t - from) / b[12])
    awakeN <- 1 - sleepN * exp(-(t - from) / b[13])
    mostA <- paceA * awakeA * (b[20] + 2.3) / 2.3 * qa
    mostN <- paceN * awakeN * qn
    rA <- mostA * a * b[5] * k / ((max(b[3], mostA / 80) + a) * (b[5] + a) * (b[20] + k))
    rN <- mostN * n * b[6] / ((max(b[4], mostN / 80) + n) * (b[6] + n) * (1 + free * a / b[7]))
    taking <- b[17] / ((0.1 + x) * (0.05 + a))
    ripe <- min(1, max(0, (t - 20) / 40))
    broken <- b[14] * decay * food
    freed <- b[15] * decay * dissolved
    list(c(
      freed + load - rA - taking * a * (0.1 + x),
      0.98 * rA - rN,
      0.99 * rN - (0.025 * taking + b[18] * ripe) * x,
      -broken,
      b[16] * broken - freed,
      b[1] * rA * (1 - qa / b[8]) - b[10] * awakeA * qa + b[19],
      b[2] * rN * (1 - qn / b[9]) - b[11] * awakeN * qn + b[19],
      (freed - 1.96 * rA) / 14.007
    ))
  })
}

# Levels at `until` from those at p$from.
advance <- function(y, until, p, method, tolerance, compiled) {
  solved <- if (compiled)
    ode(y, c(p$from, until), "slope", unlist(p), method, rtol = tolerance, atol = 1e-3 * tolerance,
        dllname = "slope", initfunc = "takeParameters")
  else ode(y, c(p$from, until), slope, p, method, rtol = tolerance, atol = 1e-3 * tolerance)
  unname(solved[2, -1])
}

# The states at the plan's outputs: 15 numbers of the kernel's a column.
solveWater <- function(plan, method, tolerance, compiled, b, start, own) {
  out <- matrix(0, 15, plan$rows)
  y <- start[columns]
  factorA <- factorN <- decay <- vigour <- sleepA <- sleepN <- 1
  free <- load <- inoculated <- day <- 0
  for (i in seq_along(plan$days)) {
    until <- plan$days[i]
    slot <- plan$slots[i] + 1
    if (until > day) {
      p <- list(b = b, paceA = factorA * vigour, paceN = factorN * vigour, free = free, decay = decay, load = load,
                from = day, sleepA = sleepA, sleepN = sleepN)
      y <- advance(y, until, p, method, tolerance, compiled)
      sleepA <- sleepA * exp(-(until - day) / b[12])
      sleepN <- sleepN * exp(-(until - day) / b[13])
      day <- until
    }
    switch(as.character(plan$kinds[i]),
      "10" = out[columns, slot] <- y,
      "0" = {
        segment <- plan$segments[, slot]
        factorA <- segment[1]; factorN <- segment[2]; free <- segment[3]; decay <- segment[4]
      },
      "1" = vigour <- own[slot],
      "2" = load <- own[slot],
      "3" = y[1] <- y[1] + own[slot],
      "7" = {
        sleepA <- (sleepA * y[6] + own[slot]) / (y[6] + own[slot])
        sleepN <- (sleepN * y[7] + own[slot + 1]) / (y[7] + own[slot + 1])
        y[6:7] <- y[6:7] + own[slot + 0:1]
        inoculated <- day
      },
      "8" = {
        fraction <- own[slot]
        stay <- 1 - fraction * exp(-(day - inoculated) / b[21])
        y[c(1, 2, 3, 5, 8)] <- (1 - fraction) * y[c(1, 2, 3, 5, 8)]
        y[c(3, 8)] <- y[c(3, 8)] + fraction * own[slot + 1:2]
        y[6:7] <- stay * y[6:7]
      }
    )
  }
  out
}
