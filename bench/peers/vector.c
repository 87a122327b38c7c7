/*
 * The same model by hand in C with vector extensions: four tanks in the lanes of one vector of single precision, each
 * with its own steps and stops, and the next tank when one is done.
 */
#include <math.h>
#include <string.h>
#include "plan.h"

typedef float V __attribute__((vector_size(16)));
typedef int M __attribute__((vector_size(16)));

static inline V all(float x) { return (V){x, x, x, x}; }
static inline V pick(M m, V a, V b) { return (V)((m & (M)a) | (~m & (M)b)); }
#ifdef __SSE__
static inline V least(V a, V b) { return __builtin_ia32_minps(a, b); }
static inline V most(V a, V b) { return __builtin_ia32_maxps(a, b); }
#else
static inline V least(V a, V b) { return pick(a < b, a, b); }
static inline V most(V a, V b) { return pick(a > b, a, b); }
#endif
static inline V size(V a) { return (V)((M)a & 0x7fffffff); }
static inline V above(V a) { return (V)((M)a & (a > 1e-14f)); }
static inline int any(M m) { return (m[0] | m[1] | m[2] | m[3]) != 0; }

/* e^-z for z >= 0, to a few units of the last place. */
static inline V fading(V z) {
  const V y = most(z * -1.44269504f, all(-126));
  const M whole = __builtin_convertvector(y - 0.5f, M);
  const V f = (y - __builtin_convertvector(whole, V)) * 0.69314718f;
  V p = all(1.0f / 720);
  p = p * f + 1.0f / 120;
  p = p * f + 1.0f / 24;
  p = p * f + 1.0f / 6;
  p = p * f + 0.5f;
  p = p * f + 1;
  p = p * f + 1;
  return p * (V)((whole + 127) << 23);
}

/* Fourth root of a ratio to 5 %, from the exponents: good enough to choose a step. */
static inline V fourthRootOf(V over, V under) { return (V)((((M)over - (M)under) >> 2) + 0x3f7b8000); }

/* How a step follows a level that decays: 1/d, days the first slope leads by the middle, days each slope weighs. */
typedef struct {
  V decay, lead, first, middle, last;
} Course;

/* Cox & Matthews 2002, J. Comput. Phys. 176:430; classical in lanes where decay makes no difference within the step. */
static inline Course follow(V decay, V h) {
  const V z = h * decay, third = h * (1 / 3.f);
  const Course plain = {all(0), 0.5f * h, 0.5f * third, third, 0.5f * third};
  const M follows = z >= 0.2f;
  if (!any(follows)) return plain;
  const V per = 1 / z, left = fading(0.5f * z), lead = (1 - left) * (h * per);
  const V reach = lead * (1 + left), lagging = (h - reach) * per, curved = (0.5f * h - lagging) * per;
  return (Course){
    pick(follows, decay, plain.decay),
    pick(follows, lead, plain.lead),
    pick(follows, reach - 3 * lagging + 4 * curved, plain.first),
    pick(follows, 2 * lagging - 4 * curved, plain.middle),
    pick(follows, 4 * curved - lagging, plain.last),
  };
}

/* Days into a step of h after which a level is clear, on the cubic through levels and slopes at both ends. */
static V crossing(V h, V before, V slope, V after, V slopeAfter) {
  const V begin = h * slope, end = h * slopeAfter, rise = after - before;
  const V square = 3 * rise - 2 * begin - end, cube = begin + end - 2 * rise;
  V there = all(0.5f), part = all(0.25f);
  for (int i = 0; i < 10; i++, part *= 0.5f) {
    const V excess = (before - 0.1f) + there * begin + there * there * (square + there * cube);
    there += (V)((M)part | ((M)excess & (int)0x80000000));
  }
  return pick(before <= 0.1f, all(0), h * there);
}

typedef struct {
  V y[15], rates[10], since, ready, step, factorA, factorN, vigour, load, freeRatio, breakUp, ammonify, inoculated;
  V evaluations, from, stretch, left, fresh;
} Run;

/* Takes steps until a lane has arrived. */
static void advance(const V *b, Run *run, float tolerance) {
  const V growthA = b[0], growthN = b[1], halfA = b[2], halfN = b[3], selfA = b[4], selfN = b[5];
  const V perCeilingA = 1 / b[7], perCeilingN = 1 / b[8], lossA = b[9], lossN = b[10];
  const V perWakeA = 1 / b[11], perWakeN = 1 / b[12], mineralised = b[15], algae = b[16], denitrify = b[17];
  const V arriving = b[18], halfAlk = b[19];
  const V paceA = run->factorA * run->vigour * (halfAlk + 2.3f) * (1 / 2.3f), paceN = run->factorN * run->vigour;
  const V freeRatio = run->freeRatio, breakUp = run->breakUp, ammonify = run->ammonify, load = run->load;
  const V longest = least(all(1), 2 / most(breakUp, ammonify));
  const V capA = paceA * (1 / 80.f), capN = paceN * (1 / 80.f);
  V *y = run->y;
  V yA = y[0], yN = y[1], yX = y[2], yD = y[3], yL = y[4], yQa = y[5], yQn = y[6], yK = y[9];
  V asleepA = 1 - y[7], asleepN = 1 - y[8], bound = y[10], lost = y[11], freed = y[14];
  V since = run->since, ready = run->ready, step = run->step, evaluations = run->evaluations;
  const V stretch = run->stretch, from = run->from;
  V left = run->left;
  const M changed = run->fresh > 0;
  V f1 = run->rates[0], f2 = run->rates[1], f3 = run->rates[2], f4 = run->rates[3];
  V f5 = run->rates[4], f6 = run->rates[5], f7 = run->rates[6], f8 = run->rates[7];
  V f9 = run->rates[8], f10 = run->rates[9];
  V broken = f1, freeing = f2, oxidisedA = f3, oxidisedN = f4, taken = f5, gone = f6, growingA = f7, growingN = f8;
  /* How fast a trace is used up, 1/d: the slope of its uptake. */
  V decayA = f9, decayN = f10;
  V a = yA, n = yN, x = yX, d = yD, l = yL, qa = yQa, qn = yQn, k = yK;
  V awakeA = y[7], awakeN = y[8];
  V denitrifying = all(0);

#define RATES                                                                                       \
  do {                                                                                              \
    const V mostA = qa * (paceA * awakeA), mostN = qn * (paceN * awakeN);                           \
    const V kA = most(halfA, qa * (capA * awakeA)), kN = most(halfN, qn * (capN * awakeN));         \
    const V limitsA = (selfA + a) * (halfAlk + k), limitsN = (selfN + n) * (1 + freeRatio * a);     \
    const V pullA = mostA * (selfA * k) / ((kA + a) * limitsA);                                     \
    const V pullN = mostN * selfN / ((kN + n) * limitsN);                                           \
    oxidisedA = pullA * a;                                                                          \
    oxidisedN = pullN * n;                                                                          \
    decayA = pullA * kA / (kA + a);                                                                 \
    decayN = pullN * kN / (kN + n);                                                                 \
    const V taking = algae / ((0.1f + x) * (0.05f + a));                                            \
    taken = taking * (a * (0.1f + x));                                                              \
    gone = (0.025f * taking + denitrifying) * x;                                                    \
    broken = breakUp * d;                                                                           \
    freeing = ammonify * l;                                                                         \
    growingA = oxidisedA * (growthA * (1 - qa * perCeilingA)) + (arriving - qa * (lossA * awakeA)); \
    growingN = oxidisedN * (growthN * (1 - qn * perCeilingN)) + (arriving - qn * (lossN * awakeN)); \
  } while (0)
#define SLOPE_A (freeing + load - taken - oxidisedA)
#define SLOPE_N (0.98f * oxidisedA - oxidisedN)
#define STAGE(reach, toA, toN, sleepA, sleepN, weight)                           \
  do {                                                                           \
    sumBroken += weight * broken;                                                \
    sumFreeing += weight * freeing;                                              \
    sumTaken += weight * taken;                                                  \
    sumGone += weight * gone;                                                    \
    sumGa += weight * growingA;                                                  \
    sumGn += weight * growingN;                                                  \
    a = most(all(0), toA);                                                       \
    n = most(all(0), toN);                                                       \
    x = most(all(0), yX + reach * (0.99f * oxidisedN - gone));                   \
    d = yD - reach * broken;                                                     \
    l = yL + reach * (mineralised * broken - freeing);                           \
    qa = yQa + reach * growingA;                                                 \
    qn = yQn + reach * growingN;                                                 \
    k = most(all(0), yK + reach * ((float)(1 / 14.007) * freeing - (float)(1.96 / 14.007) * oxidisedA)); \
    awakeA = 1 - (sleepA);                                                       \
    awakeN = 1 - (sleepN);                                                       \
    RATES;                                                                       \
  } while (0)

#define NITRATE_LOSS(day) (denitrify * least(most(((day) - 20) * (1 / 40.f), all(0)), all(1)))
  if (any(changed)) {
    denitrifying = NITRATE_LOSS(from + (stretch - left));
    RATES;
    f1 = broken = pick(changed, broken, f1);
    f2 = freeing = pick(changed, freeing, f2);
    f3 = oxidisedA = pick(changed, oxidisedA, f3);
    f4 = oxidisedN = pick(changed, oxidisedN, f4);
    f5 = taken = pick(changed, taken, f5);
    f6 = gone = pick(changed, gone, f6);
    f7 = growingA = pick(changed, growingA, f7);
    f8 = growingN = pick(changed, growingN, f8);
    f9 = pick(changed, decayA, f9);
    f10 = pick(changed, decayN, f10);
    evaluations += pick(changed, all(1), all(0));
    run->fresh = all(0);
  }
  for (;;) {
    const V h = least(step, left), half = 0.5f * h, sixth = h * (1 / 6.f);
    const V dayNow = from + (stretch - left);
    V fadeA = all(0), fadeN = all(0);
    if (any((asleepA > 1e-6f) | (asleepN > 1e-6f))) {
      fadeA = fading(half * perWakeA);
      fadeN = fading(half * perWakeN);
    }
    const V halfSleepA = asleepA * fadeA, halfSleepN = asleepN * fadeN;
    const V endSleepA = halfSleepA * fadeA, endSleepN = halfSleepN * fadeN;
    const Course A = follow(f9, h), N = follow(f10, h);
    V sumBroken = all(0), sumFreeing = all(0), sumTaken = all(0), sumGone = all(0);
    V sumGa = all(0), sumGn = all(0);
    /* Slopes but for what decays. */
    const V firstA = SLOPE_A, firstN = SLOPE_N;
    denitrifying = NITRATE_LOSS(dayNow + half);
    STAGE(half, yA + A.lead * firstA, yN + N.lead * firstN, halfSleepA, halfSleepN, 1.0f);
    const V aMiddle = a, nMiddle = n;
    const V secondA = SLOPE_A + A.decay * (a - yA), secondN = SLOPE_N + N.decay * (n - yN);
    STAGE(half, yA + A.lead * secondA, yN + N.lead * secondN, halfSleepA, halfSleepN, 2.0f);
    const V thirdA = SLOPE_A + A.decay * (a - yA), thirdN = SLOPE_N + N.decay * (n - yN);
    denitrifying = NITRATE_LOSS(dayNow + h);
    STAGE(h, aMiddle + A.lead * (2 * thirdA - firstA - A.decay * (aMiddle - yA)),
          nMiddle + N.lead * (2 * thirdN - firstN - N.decay * (nMiddle - yN)), endSleepA, endSleepN, 2.0f);
    const V lastA = SLOPE_A + A.decay * (a - yA), lastN = SLOPE_N + N.decay * (n - yN);
    const V changeA = A.first * firstA + A.middle * (secondA + thirdA) + A.last * lastA;
    const V changeN = N.first * firstN + N.middle * (secondN + thirdN) + N.last * lastN;
    const V lastGa = growingA, lastGn = growingN;
    sumBroken = sixth * (sumBroken + broken);
    sumFreeing = sixth * (sumFreeing + freeing);
    sumTaken = sixth * (sumTaken + taken);
    sumGone = sixth * (sumGone + gone);
    const V coming = sumFreeing + h * load, thereA = yA + coming;
    V sumA = most(all(0), coming - sumTaken - changeA);
    const V leaving = sumA + sumTaken, overA = leaving - thereA;
    if (any(overA > 0)) {
      const V share = pick(overA > 0, thereA / leaving, all(1));
      sumA *= share;
      sumTaken *= share;
    }
    a = above(-overA);
    V sumN = most(all(0), 0.98f * sumA - changeN);
    const V thereN = yN + 0.98f * sumA, overN = sumN - thereN;
    sumN = least(sumN, thereN);
    n = above(thereN - sumN);
    const V thereX = yX + 0.99f * sumN, overX = sumGone - thereX;
    sumGone = least(sumGone, thereX);
    x = thereX - sumGone;
    d = above(yD - sumBroken);
    l = above(yL + mineralised * sumBroken - sumFreeing);
    qa = yQa + sixth * (sumGa + growingA);
    qn = yQn + sixth * (sumGn + growingN);
    k = yK + (float)(1 / 14.007) * sumFreeing - (float)(1.96 / 14.007) * sumA;
    const V over = most(most(overA, overN), most(overX, -k));
    k = above(k);
    awakeA = 1 - endSleepA;
    awakeN = 1 - endSleepN;
    RATES;
    evaluations += 4;
    const V levels = 1 + a + n, capacities = 1 + qa + qn;
    const V endA = SLOPE_A, endN = SLOPE_N;
    const V offA = A.last * size(lastA - endA - A.decay * (a - yA));
    const V offN = N.last * size(lastN - endN - N.decay * (n - yN));
    const V offGrowing = sixth * most(size(lastGa - growingA), size(lastGn - growingN));
    const V allowed = tolerance * levels * capacities;
    const V off = most(capacities * most(offA, offN), levels * offGrowing);
    const M taking = (off <= allowed) & (over <= tolerance);
    const V change = least(0.9f * fourthRootOf(allowed, off), all(4));
    const V grown = least(longest, h * most(change, all(0.3f)));
    const V shrunk = h * pick(over > tolerance, all(0.5f), most(change, all(0.2f)));
    step = pick(taking, pick((h >= step) | (allowed < 10 * off), grown, step), shrunk);
    /* Gives up where the step vanishes or is not a number. */
    const M stuck = ~taking & ~((h > 1e-7f) & (off < INFINITY));
    freed += pick(taking, sumFreeing + h * load, all(0));
    const M clear = taking & (a < 0.1f) & (n < 0.1f) & (freed >= 0.5f), cleared = clear & ~(since <= dayNow);
    if (any(cleared)) {
      const V clearA = crossing(h, yA, firstA, a, endA), clearN = crossing(h, yN, firstN, n, endN);
      since = pick(cleared, dayNow + most(clearA, clearN), since);
    }
    since = pick(taking & ~clear, all(1e10f), since);
    ready = pick(clear & (dayNow + h - since >= 1) & (ready > 1e9f), since, ready);
    bound += pick(taking, (1 - mineralised) * sumBroken + 0.02f * sumA + 0.01f * sumN, all(0));
    lost += pick(taking, sumTaken + sumGone, all(0));
    yA = pick(taking, a, yA);
    yN = pick(taking, n, yN);
    yX = pick(taking, x, yX);
    yD = pick(taking, d, yD);
    yL = pick(taking, l, yL);
    yQa = pick(taking, qa, yQa);
    yQn = pick(taking, qn, yQn);
    yK = pick(taking, k, yK);
    asleepA = pick(taking, endSleepA, asleepA);
    asleepN = pick(taking, endSleepN, asleepN);
    f1 = broken = pick(taking, broken, f1);
    f2 = freeing = pick(taking, freeing, f2);
    f3 = oxidisedA = pick(taking, oxidisedA, f3);
    f4 = oxidisedN = pick(taking, oxidisedN, f4);
    f5 = taken = pick(taking, taken, f5);
    f6 = gone = pick(taking, gone, f6);
    f7 = growingA = pick(taking, growingA, f7);
    f8 = growingN = pick(taking, growingN, f8);
    f9 = pick(taking, decayA, f9);
    f10 = pick(taking, decayN, f10);
    left = pick(taking, left - h, pick(stuck, all(0), left));
    if (any(left <= 0)) break;
  }
  run->rates[0] = f1, run->rates[1] = f2, run->rates[2] = f3, run->rates[3] = f4;
  run->rates[4] = f5, run->rates[5] = f6, run->rates[6] = f7, run->rates[7] = f8;
  run->rates[8] = f9, run->rates[9] = f10;
  run->left = left;
  y[0] = yA, y[1] = yN, y[2] = yX, y[3] = yD, y[4] = yL, y[5] = yQa, y[6] = yQn, y[9] = yK;
  y[7] = 1 - asleepA, y[8] = 1 - asleepN, y[10] = bound, y[11] = lost, y[14] = freed;
  run->since = since, run->ready = ready, run->step = step, run->evaluations = evaluations;
}

static Run run;
static V b[21];
static int tank[4], next[4];
static double today[4];

static void begin(int lane, int which, const double *biology, const double *start) {
  tank[lane] = which;
  next[lane] = 0;
  today[lane] = 0;
  for (int i = 0; i < 21; i++) b[i][lane] = biology[21 * which + i];
  for (int i = 0; i < 15; i++) run.y[i][lane] = start[15 * which + i];
  run.since[lane] = run.ready[lane] = 1e10f;
  run.step[lane] = 0.02f;
  run.factorA[lane] = run.factorN[lane] = run.vigour[lane] = run.fresh[lane] = 1;
  run.load[lane] = run.freeRatio[lane] = run.inoculated[lane] = run.from[lane] = 0;
  run.stretch[lane] = run.left[lane] = 0;
  run.breakUp[lane] = b[13][lane];
  run.ammonify[lane] = b[14][lane];
}

static void heed(const Plan *plan, int stop, int lane, const double *amounts, int width, double *out, int rows) {
  const double *amount = amounts + width * tank[lane] + plan->slots[stop];
  V *y = run.y;
  switch (plan->kinds[stop]) {
    case OUTPUT:
      for (int i = 0; i < 15; i++) out[(rows * tank[lane] + plan->slots[stop]) * 15 + i] = y[i][lane];
      return;
    case SEGMENT: {
      const double *segment = plan->segments + 4 * plan->slots[stop];
      run.factorA[lane] = segment[0], run.factorN[lane] = segment[1];
      run.freeRatio[lane] = segment[2] / b[6][lane];
      run.breakUp[lane] = b[13][lane] * segment[3], run.ammonify[lane] = b[14][lane] * segment[3];
      break;
    }
    case VIGOUR: run.vigour[lane] = amount[0]; break;
    case LOAD: run.load[lane] = amount[0]; break;
    case AMMONIA:
      y[0][lane] += amount[0], y[13][lane] += amount[0], y[14][lane] += amount[0], run.since[lane] = 1e10f;
      break;
    case CULTURE:
      y[7][lane] *= y[5][lane] / (y[5][lane] + amount[0]), y[8][lane] *= y[6][lane] / (y[6][lane] + amount[1]);
      y[5][lane] += amount[0], y[6][lane] += amount[1], run.inoculated[lane] = plan->days[stop];
      break;
    case EXCHANGE: {
      const float f = amount[0];
      const float stay = 1 - f * expf(-((float)plan->days[stop] - run.inoculated[lane]) / b[20][lane]);
      y[12][lane] += f * (y[0][lane] + y[1][lane] + y[2][lane] + y[4][lane]);
      y[0][lane] *= 1 - f, y[1][lane] *= 1 - f, y[4][lane] *= 1 - f;
      y[2][lane] = y[2][lane] * (1 - f) + f * amount[1], y[13][lane] += f * amount[1];
      y[9][lane] = y[9][lane] * (1 - f) + f * amount[2];
      y[5][lane] *= stay, y[6][lane] *= stay;
      break;
    }
  }
  run.fresh[lane] = 1;
  run.step[lane] = run.step[lane] < 0.1f ? run.step[lane] : 0.1f;
}

/* Takes a lane past the stops of its day; 0 where there are none left. */
static int pass(const Plan *plan, int lane, const double *amounts, int width, double *out, int rows) {
  for (; next[lane] < plan->stops; next[lane]++) {
    const double until = plan->days[next[lane]];
    if (until > today[lane]) {
      run.from[lane] = today[lane];
      run.stretch[lane] = run.left[lane] = until - today[lane];
      return 1;
    }
    heed(plan, next[lane], lane, amounts, width, out, rows);
  }
  return 0;
}

/* Runs tanks one after another through four lanes; returns the derivative evaluations. */
long runVector(const Plan *plan, int count, const double *biology, const double *start, const double *amounts,
               int width, int rows, double tolerance, double *out) {
  int queued = 0, busy = 0;
  long evaluations = 0;
  run.evaluations = all(0);
  for (int lane = 0; lane < 4; lane++) {
    begin(lane, queued < count ? queued : count - 1, biology, start);
    if (queued < count) {
      queued++, busy++;
      if (!pass(plan, lane, amounts, width, out, rows)) return -1;
    } else {
      tank[lane] = -1;
      run.stretch[lane] = run.left[lane] = 1e10f;
    }
  }
  while (busy > 0) {
    advance(b, &run, tolerance);
    for (int lane = 0; lane < 4; lane++) {
      if (tank[lane] < 0 || run.left[lane] > 0) continue;
      run.y[13][lane] += run.load[lane] * run.stretch[lane];
      today[lane] = plan->days[next[lane]];
      while (!pass(plan, lane, amounts, width, out, rows)) {
        evaluations += run.evaluations[lane];
        run.evaluations[lane] = 0;
        if (queued == count) {
          tank[lane] = -1, busy--;
          run.stretch[lane] = run.left[lane] = 1e10f;
          break;
        }
        begin(lane, queued++, biology, start);
      }
    }
  }
  return evaluations;
}
