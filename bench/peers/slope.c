/* The derivative of water.R in C, as deSolve calls it: 21 constants of the biology, then what holds between two stops. */
#include <math.h>

static double b[29];

void takeParameters(void (*fill)(int *, double *)) {
  int count = 29;
  fill(&count, b);
}

void slope(int *count, double *now, double *y, double *rate, double *more, int *sizes) {
  (void)count, (void)more, (void)sizes;
  const double pace_a = b[21], pace_n = b[22], free = b[23], decay = b[24], load = b[25];
  const double from = b[26], sleep_a = b[27], sleep_n = b[28], t = *now;
  const double a = y[0], n = y[1], x = y[2], food = y[3], dissolved = y[4], qa = y[5], qn = y[6], k = y[7];
  const double awake_a = 1 - sleep_a * exp(-(t - from) / b[11]);
  const double awake_n = 1 - sleep_n * exp(-(t - from) / b[12]);
  const double most_a = pace_a * awake_a * (b[19] + 2.3) / 2.3 * qa;
  const double most_n = pace_n * awake_n * qn;
  const double r_a = most_a * a * b[4] * k / ((fmax(b[2], most_a / 80) + a) * (b[4] + a) * (b[19] + k));
  const double r_n = most_n * n * b[5] / ((fmax(b[3], most_n / 80) + n) * (b[5] + n) * (1 + free * a / b[6]));
  const double taking = b[16] / ((0.1 + x) * (0.05 + a));
  const double ripe = fmin(1, fmax(0, (t - 20) / 40));
  const double broken = b[13] * decay * food, freed = b[14] * decay * dissolved;
  rate[0] = freed + load - r_a - taking * a * (0.1 + x);
  rate[1] = 0.98 * r_a - r_n;
  rate[2] = 0.99 * r_n - (0.025 * taking + b[17] * ripe) * x;
  rate[3] = -broken;
  rate[4] = b[15] * broken - freed;
  rate[5] = b[0] * r_a * (1 - qa / b[7]) - b[9] * awake_a * qa + b[18];
  rate[6] = b[1] * r_n * (1 - qn / b[8]) - b[10] * awake_n * qn + b[18];
  rate[7] = (freed - 1.96 * r_a) / 14.007;
}
