/* Reads tanks and a plan, runs them with a kernel in repeated passes, prints the best time and the first rows. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include "plan.h"

int runScalar(const Plan *, const double *, const double *, const double *, double, double *);
long runVector(const Plan *, int, const double *, const double *, const double *, int, int, double, double *);

static double now(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

static double *numbers(FILE *in, int count) {
  double *values = malloc(sizeof(double) * (count + 1));
  if (fread(values, sizeof(double), count, in) != (size_t)count) exit(2);
  return values;
}

/* peer FILE scalar|vector TOLERANCE PASSES OUT */
int main(int argc, char **argv) {
  FILE *in = fopen(argv[1], "rb");
  const double *head = numbers(in, 5);
  const int stops = head[0], segments = head[1], count = head[2], width = head[3], rows = head[4];
  const int vector = argc > 2 && !strcmp(argv[2], "vector"), passes = atoi(argv[4]);
  const double tolerance = atof(argv[3]);
  double *days = numbers(in, stops), *kinds = numbers(in, stops), *slots = numbers(in, stops);
  double *factors = numbers(in, 4 * segments);
  double *biology = numbers(in, 21 * count), *start = numbers(in, 15 * count), *amounts = numbers(in, width * count);
  int *kind = malloc(sizeof(int) * stops), *slot = malloc(sizeof(int) * stops);
  for (int i = 0; i < stops; i++) kind[i] = kinds[i], slot[i] = slots[i];
  const Plan plan = {stops, days, kind, slot, factors};
  /* The vector kernel is timed in chunks of 128 tanks, the scalar one tank by tank. */
  const int chunk = vector ? 128 : 1, chunks = (count + chunk - 1) / chunk;
  double *out = malloc(sizeof(double) * rows * 15 * count), *best = malloc(sizeof(double) * chunks);
  long evaluations = 0;
  for (int i = 0; i < chunks; i++) best[i] = 1e9;
  for (int pass = 0; pass < passes; pass++) {
    evaluations = 0;
    for (int c = 0; c < chunks; c++) {
      const int at = c * chunk, size = at + chunk < count ? chunk : count - at;
      const double *b = biology + 21 * at, *s = start + 15 * at, *a = amounts + width * at;
      double *o = out + rows * 15 * at;
      const double began = now();
      evaluations += vector ? runVector(&plan, size, b, s, a, width, rows, tolerance, o)
                            : runScalar(&plan, b, s, a, tolerance, o);
      const double took = now() - began;
      if (took < best[c]) best[c] = took;
    }
  }
  double total = 0;
  for (int c = 0; c < chunks; c++) total += best[c];
  printf("{\"seconds\": %.9g, \"evaluations\": %ld}\n", total, evaluations);
  if (argc > 5) {
    FILE *written = fopen(argv[5], "wb");
    fwrite(out, sizeof(double), (size_t)rows * 15 * count, written);
    fclose(written);
  }
  return 0;
}
