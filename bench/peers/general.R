# general.R TANKS METHOD TOLERANCE STATES WATER [LIBRARY]: solves the first 24 tanks once and prints seconds and count as JSON.

suppressPackageStartupMessages(library(deSolve))
arguments <- commandArgs(trailingOnly = TRUE)
source(arguments[5])
compiled <- length(arguments) > 5
if (compiled) invisible(dyn.load(arguments[6]))

values <- readBin(arguments[1], "double", file.size(arguments[1]) / 8)
counts <- as.integer(values[1:5])
stops <- counts[1]; segments <- counts[2]; count <- counts[3]; width <- counts[4]; rows <- counts[5]
sizes <- c(stops, stops, stops, 4 * segments, 21 * count, 15 * count, width * count)
ends <- 5 + cumsum(sizes)
parts <- Map(function(size, end) values[end - size + seq_len(size)], sizes, ends)
plan <- list(days = parts[[1]], kinds = parts[[2]], slots = parts[[3]], segments = matrix(parts[[4]], 4), rows = rows)
biologies <- matrix(parts[[5]], 21)
starts <- matrix(parts[[6]], 15)
amounts <- matrix(parts[[7]], width)
solved <- min(count, 24)

began <- proc.time()
states <- lapply(seq_len(solved), function(i)
  solveWater(plan, arguments[2], as.numeric(arguments[3]), compiled, biologies[, i], starts[, i], amounts[, i]))
took <- proc.time() - began
cat(sprintf('{"seconds":%.6f,"count":%d}\n', took[[1]] + took[[2]], solved))
writeBin(unlist(states), arguments[4])
