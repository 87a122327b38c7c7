/*
 * The posterior of packages/evidence by hand in C: standard normal scores → values through the priors → a run of the
 * water → readings of cards. What is asked comes from a description that bench/posterior.ts writes. As a shared library
 * it serves samplers in other languages, whence the pointers; as a program it weighs a file of scores.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include "plan.h"

int runScalar(const Plan *, const double *, const double *, const double *, double, double *);

enum { BIOLOGY = 21, STATE = 15 };
enum { GROWTH_A = 0, GROWTH_N, HALF_A, HALF_N, LOSS_A = 9, LOSS_N };
enum { LOGNORMAL = 0, NORMAL, LOGIT_NORMAL };
enum { AMMONIA_LEVEL = 0, NITRITE_LEVEL, NITRATE_LEVEL };

typedef struct { double shape, centre, spread; } Prior;
/* input[place] = factor · value[first] · value[second]^power */
typedef struct { double place, factor, first, second, power; } Recipe;
typedef struct { double row, analyte, bias, low, high, offset, top, ifFailed, slipped, held; } Reading;

static int size, width, recipes, readings, blur, tint, cross;
static double tolerance, *usual, *value, *input, *out;
static Plan plan;
static Prior *prior;
static Recipe *recipe;
static Reading *reading;

static double *numbers(FILE *in, int count) {
  double *found = malloc(sizeof(double) * (count + 1));
  if (fread(found, sizeof(double), count, in) != (size_t)count) {
    fprintf(stderr, "the description ends early\n");
    exit(2);
  }
  return found;
}

static int *integers(FILE *in, int count) {
  const double *found = numbers(in, count);
  int *whole = malloc(sizeof(int) * (count + 1));
  for (int i = 0; i < count; i++) whole[i] = found[i];
  return whole;
}

void openPosterior(const char **path, int *dimensions) {
  FILE *in = fopen(*path, "rb");
  if (!in) {
    perror(*path);
    exit(2);
  }
  const int *head = integers(in, 10);
  const int stops = head[0], segments = head[1], rows = head[4];
  size = head[2], width = head[3], recipes = head[5], readings = head[6];
  blur = head[7], tint = head[8], cross = head[9];
  tolerance = *numbers(in, 1);
  plan.stops = stops;
  plan.days = numbers(in, stops);
  plan.kinds = integers(in, stops);
  plan.slots = integers(in, stops);
  plan.segments = numbers(in, 4 * segments);
  usual = numbers(in, BIOLOGY);
  prior = (Prior *)numbers(in, 3 * size);
  recipe = (Recipe *)numbers(in, 5 * recipes);
  reading = (Reading *)numbers(in, 10 * readings);
  fclose(in);
  value = malloc(sizeof(double) * size);
  input = calloc(BIOLOGY + STATE + width, sizeof(double));
  out = malloc(sizeof(double) * rows * STATE);
  for (int i = 0; i < BIOLOGY; i++) input[i] = usual[i];
  *dimensions = size;
}

/* Whether bacteria like these can bring the water below the least a settled tank must reach. */
static int clears(double half, double loss, double growth) {
  const double residual = half * loss / (growth - loss);
  return residual >= 0 && residual <= 0.1;
}

static double normalCdf(double x) { return 0.5 * erfc(-x * 0.70710678118654752); }

static double likelihood(const Reading *r) {
  const double *levels = out + STATE * (int)r->row;
  const int analyte = r->analyte;
  double level = levels[analyte];
  if (analyte == AMMONIA_LEVEL) level += value[tint];
  if (analyte == NITRATE_LEVEL) level += value[cross] * levels[NITRITE_LEVEL];
  const double middle = log(level + r->offset) + value[(int)r->bias];
  const double above = r->high == INFINITY ? 1 : normalCdf((r->high - middle) / value[blur]);
  const double below = r->low == -INFINITY ? 0 : normalCdf((r->low - middle) / value[blur]);
  const double chance = fmax(0, above - below);
  const double failed = 0.18 * fmin(1, fmax(0, (level / r->top - 4) / 2));
  return r->held * (chance + failed * (r->ifFailed - chance)) + r->slipped;
}

static double logPosterior(const double *scores) {
  double sum = 0;
  for (int i = 0; i < size; i++) {
    const double x = prior[i].centre + prior[i].spread * scores[i];
    value[i] = prior[i].shape == NORMAL ? x : prior[i].shape == LOGNORMAL ? exp(x) : 1 / (1 + exp(-x));
    sum -= 0.5 * scores[i] * scores[i];
  }
  for (int i = 0; i < recipes; i++) {
    const Recipe *r = recipe + i;
    const double other = value[(int)r->second];
    input[(int)r->place] =
      r->factor * value[(int)r->first] * (r->power == 0 ? 1 : r->power > 0 ? other : 1 / other);
  }
  if (!clears(input[HALF_A], input[LOSS_A], input[GROWTH_A])) return -INFINITY;
  if (!clears(input[HALF_N], input[LOSS_N], input[GROWTH_N])) return -INFINITY;
  const double *start = input + BIOLOGY, *amounts = start + STATE;
  if (runScalar(&plan, input, start, amounts, tolerance, out) < 0) return -INFINITY;
  for (int i = 0; i < readings; i++) sum += log(likelihood(reading + i));
  return sum;
}

/* Log posteriors of so many rows of scores, up to a constant. */
void logPosteriors(const double *scores, const int *count, double *found) {
  for (int i = 0; i < *count; i++) found[i] = logPosterior(scores + i * size);
}

/* posterior DESCRIPTION SCORES FOUND */
int main(int argc, char **argv) {
  if (argc != 4) return 2;
  const char *path = argv[1];
  int dimensions;
  openPosterior(&path, &dimensions);
  FILE *in = fopen(argv[2], "rb"), *written = fopen(argv[3], "wb");
  if (!in || !written) return 2;
  double *scores = malloc(sizeof(double) * dimensions), found;
  const int one = 1;
  while (fread(scores, sizeof(double), dimensions, in) == (size_t)dimensions) {
    logPosteriors(scores, &one, &found);
    fwrite(&found, sizeof(double), 1, written);
  }
  fclose(written);
  return 0;
}
