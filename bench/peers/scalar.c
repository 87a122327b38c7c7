/* The process model of packages/nitrogen/src/kernel.ts by hand in C, one tank at a time, double precision. */
#include <math.h>
#include "plan.h"

#define min(a, b) ((a) < (b) ? (a) : (b))
#define max(a, b) ((a) > (b) ? (a) : (b))

typedef struct {
  double paceA, paceN, freeRatio, breakUp, ammonify, load;
} Conditions;

/* How a step follows a level that decays: 1/d, days the first slope leads by the middle, days each slope weighs. */
typedef struct {
  double decay, lead, first, middle, last;
} Course;

/* Cox & Matthews 2002, J. Comput. Phys. 176:430; classical where decay makes no difference within the step. */
static inline Course follow(double decay, double h) {
  if (!(h * decay >= 0.2)) return (Course){0, 0.5 * h, h / 6, h / 3, h / 6};
  const double per = 1 / (h * decay), left = exp(-0.5 * h * decay), lead = (1 - left) * h * per;
  const double reach = lead * (1 + left), lagging = (h - reach) * per, curved = (0.5 * h - lagging) * per;
  return (Course){decay, lead, reach - 3 * lagging + 4 * curved, 2 * lagging - 4 * curved, 4 * curved - lagging};
}

/* Days into a step of h after which a level is clear, on the cubic through levels and slopes at both ends. */
static double crossing(double h, double before, double slope, double after, double slopeAfter) {
  if (before <= 0.1) return 0;
  const double begin = h * slope, end = h * slopeAfter, rise = after - before;
  const double square = 3 * rise - 2 * begin - end, cube = begin + end - 2 * rise;
  double there = 0.5, part = 0.25;
  for (int i = 0; i < 10; i++, part *= 0.5) {
    const double excess = (before - 0.1) + there * begin + there * there * (square + there * cube);
    there += copysign(part, excess);
  }
  return h * there;
}

static int advance(const double *b, double *y, const Conditions *c, double *dayAt, double until, double *stepAt,
                   double tolerance, int *evaluations) {
  const double growthA = b[0], growthN = b[1], halfA = b[2], halfN = b[3], selfA = b[4], selfN = b[5];
  const double perCeilingA = 1 / b[7], perCeilingN = 1 / b[8], lossA = b[9], lossN = b[10];
  const double perWakeA = 1 / b[11], perWakeN = 1 / b[12], mineralised = b[15], algae = b[16], denitrify = b[17];
  const double arriving = b[18], halfAlk = b[19];
  const double paceA = c->paceA, paceN = c->paceN, freeRatio = c->freeRatio;
  const double breakUp = c->breakUp, ammonify = c->ammonify, load = c->load;
  const double longest = min(1, 2 / max(breakUp, ammonify));
  double yA = y[0], yN = y[1], yX = y[2], yD = y[3], yL = y[4], yQa = y[5], yQn = y[6], yK = y[9];
  double asleepA = 1 - y[7], asleepN = 1 - y[8], bound = y[10], lost = y[11], freed = y[14];
  double clearSince = y[15], readyDay = y[16];
  double day = *dayAt, from = day, step = *stepAt;
  double broken = 0, freeing = 0, oxidisedA = 0, oxidisedN = 0, taken = 0, gone = 0, growingA = 0, growingN = 0;
  /* How fast a trace is used up, 1/d: the slope of its uptake. */
  double decayA = 0, decayN = 0;
  int fresh = 1;
  while (day < until) {
    const double left = until - day, h = min(step, left), half = 0.5 * h, sixth = h / 6;
    const double halfLoss = denitrify * max(0, min(1, (day + half - 20) * (1 / 40.)));
    const double endLoss = denitrify * max(0, min(1, (day + h - 20) * (1 / 40.)));
    double nitrateLoss = denitrify * max(0, min(1, (day - 20) * (1 / 40.)));
    const double halfSleepA = asleepA > 1e-6 ? asleepA * exp(-half * perWakeA) : 0;
    const double halfSleepN = asleepN > 1e-6 ? asleepN * exp(-half * perWakeN) : 0;
    const double endSleepA = asleepA > 1e-6 ? halfSleepA * halfSleepA / asleepA : 0;
    const double endSleepN = asleepN > 1e-6 ? halfSleepN * halfSleepN / asleepN : 0;
    double a = yA, n = yN, x = yX, d = yD, l = yL, qa = yQa, qn = yQn, k = yK;
    double awakeA = 1 - asleepA, awakeN = 1 - asleepN;
    double sumBroken = 0, sumFreeing = 0, sumA = 0, sumN = 0, sumTaken = 0, sumGone = 0, sumGa = 0, sumGn = 0;
    /* Slopes but for what decays, and what they change. */
    double slopeA = 0, slopeN = 0, firstA = 0, firstN = 0, lastA = 0, lastN = 0, changeA = 0, changeN = 0;
    double aMiddle = 0, nMiddle = 0, lastGa = 0, lastGn = 0, over = 0;
    Course A = {0}, N = {0};
#pragma GCC unroll 5
    for (int stage = 0; stage < 5; stage++) {
      if (stage == 0 && !fresh) continue;
      if (stage > 0) {
        const double weight = stage == 1 || stage == 4 ? 1 : 2;
        if (stage == 1) A = follow(decayA, h), N = follow(decayN, h);
        slopeA = freeing + load - oxidisedA - taken + A.decay * (a - yA);
        slopeN = 0.98 * oxidisedA - oxidisedN + N.decay * (n - yN);
        changeA += (stage == 1 ? A.first : stage == 4 ? A.last : A.middle) * slopeA;
        changeN += (stage == 1 ? N.first : stage == 4 ? N.last : N.middle) * slopeN;
        sumBroken += weight * broken;
        sumFreeing += weight * freeing;
        sumTaken += weight * taken;
        sumGone += weight * gone;
        sumGa += weight * growingA;
        sumGn += weight * growingN;
        if (stage < 4) {
          const double reach = stage == 3 ? h : half;
          if (stage == 1) firstA = slopeA, firstN = slopeN;
          if (stage == 3) {
            a = max(0, aMiddle + A.lead * (2 * slopeA - firstA - A.decay * (aMiddle - yA)));
            n = max(0, nMiddle + N.lead * (2 * slopeN - firstN - N.decay * (nMiddle - yN)));
          } else {
            a = max(0, yA + A.lead * slopeA);
            n = max(0, yN + N.lead * slopeN);
          }
          if (stage == 1) aMiddle = a, nMiddle = n;
          x = max(0, yX + reach * (0.99 * oxidisedN - gone));
          d = yD - reach * broken;
          l = yL + reach * (mineralised * broken - freeing);
          qa = yQa + reach * growingA;
          qn = yQn + reach * growingN;
          k = max(0, yK + reach * (1 / 14.007 * freeing - 1.96 / 14.007 * oxidisedA));
          awakeA = 1 - (stage == 3 ? endSleepA : halfSleepA);
          awakeN = 1 - (stage == 3 ? endSleepN : halfSleepN);
          nitrateLoss = stage == 3 ? endLoss : halfLoss;
        } else {
          lastA = slopeA;
          lastN = slopeN;
          lastGa = growingA;
          lastGn = growingN;
          sumBroken *= sixth;
          sumFreeing *= sixth;
          sumTaken *= sixth;
          sumGone *= sixth;
          const double coming = sumFreeing + h * load, thereA = yA + coming;
          sumA = max(0, coming - sumTaken - changeA);
          const double overA = sumA + sumTaken - thereA;
          if (overA > 0) {
            const double share = thereA / (sumA + sumTaken);
            sumA *= share;
            sumTaken *= share;
          }
          a = overA > 0 ? 0 : -overA;
          const double thereN = yN + 0.98 * sumA;
          sumN = max(0, 0.98 * sumA - changeN);
          const double overN = sumN - thereN;
          sumN = min(sumN, thereN);
          n = thereN - sumN;
          const double thereX = yX + 0.99 * sumN, overX = sumGone - thereX;
          sumGone = min(sumGone, thereX);
          x = thereX - sumGone;
          over = max(max(overA, overN), overX);
          d = yD - sumBroken;
          l = yL + mineralised * sumBroken - sumFreeing;
          if (a < 1e-14) a = 0;
          if (n < 1e-14) n = 0;
          if (d < 1e-14) d = 0;
          if (l < 1e-14) l = 0;
          qa = yQa + sixth * sumGa;
          qn = yQn + sixth * sumGn;
          k = yK + 1 / 14.007 * sumFreeing - 1.96 / 14.007 * sumA;
          over = max(over, -k);
          k = k < 1e-14 ? 0 : k;
        }
      }
      const double mostA = qa * (paceA * awakeA), mostN = qn * (paceN * awakeN);
      const double kA = max(halfA, mostA * (1 / 80.)), kN = max(halfN, mostN * (1 / 80.));
      const double pullA = mostA * (selfA * k) / ((kA + a) * ((selfA + a) * (halfAlk + k)));
      const double pullN = mostN * selfN / ((kN + n) * ((selfN + n) * (1 + freeRatio * a)));
      oxidisedA = pullA * a;
      oxidisedN = pullN * n;
      decayA = pullA * kA / (kA + a);
      decayN = pullN * kN / (kN + n);
      const double taking = algae / ((0.1 + x) * (0.05 + a));
      taken = taking * (a * (0.1 + x));
      gone = (0.025 * taking + nitrateLoss) * x;
      broken = breakUp * d;
      freeing = ammonify * l;
      growingA = oxidisedA * (growthA * (1 - qa * perCeilingA)) + (arriving - qa * (lossA * awakeA));
      growingN = oxidisedN * (growthN * (1 - qn * perCeilingN)) + (arriving - qn * (lossN * awakeN));
    }
    *evaluations += fresh ? 5 : 4;
    const double levels = 1 + a + n, capacities = 1 + qa + qn;
    const double endA = freeing + load - oxidisedA - taken, endN = 0.98 * oxidisedA - oxidisedN;
    const double offA = A.last * fabs(lastA - endA - A.decay * (a - yA));
    const double offN = N.last * fabs(lastN - endN - N.decay * (n - yN));
    const double offCapacities = sixth * max(fabs(lastGa - growingA), fabs(lastGn - growingN));
    /* Error allowed over error made. */
    const double room = tolerance * levels * capacities / max(capacities * max(offA, offN), levels * offCapacities);
    const double change = 0.9 * sqrt(sqrt(room));
    if (!(room >= 1) || over > tolerance) {
      if (!(room >= 0) || *evaluations > 1000000 || h < 1e-7) return 0;
      fresh = 1;
      step = h * (over > tolerance ? 0.5 : max(change, 0.2));
      continue;
    }
    fresh = 0;
    freed += sumFreeing + h * load;
    if (a < 0.1 && n < 0.1 && freed >= 0.5) {
      if (!(clearSince <= day)) {
        const double clearA = crossing(h, yA, firstA, a, endA), clearN = crossing(h, yN, firstN, n, endN);
        clearSince = day + max(clearA, clearN);
      }
      if (day + h - clearSince >= 1 && readyDay > 1e9) readyDay = clearSince;
    } else clearSince = 1e10;
    yA = a, yN = n, yX = x, yD = d, yL = l, yQa = qa, yQn = qn, yK = k;
    asleepA = endSleepA, asleepN = endSleepN;
    bound += (1 - mineralised) * sumBroken + 0.02 * sumA + 0.01 * sumN;
    lost += sumTaken + sumGone;
    day = left <= h ? until : day + h;
    if (h >= step || room < 10) step = min(longest, h * min(4, max(0.3, change)));
  }
  y[0] = yA, y[1] = yN, y[2] = yX, y[3] = yD, y[4] = yL, y[5] = yQa, y[6] = yQn, y[9] = yK;
  y[7] = 1 - asleepA, y[8] = 1 - asleepN, y[10] = bound, y[11] = lost, y[14] = freed;
  y[13] += load * (day - from);
  y[15] = clearSince, y[16] = readyDay;
  *dayAt = day, *stepAt = step;
  return 1;
}

int runScalar(const Plan *plan, const double *b, const double *start, const double *amounts, double tolerance,
              double *out) {
  double y[17], day = 0, step = 0.02, factorA = 1, factorN = 1, vigour = 1, inoculated = 0;
  Conditions c = {0, 0, 0, b[13], b[14], 0};
  int evaluations = 0;
  for (int i = 0; i < 15; i++) y[i] = start[i];
  y[15] = y[16] = 1e10;
  for (int stop = 0; stop < plan->stops; stop++) {
    const double until = plan->days[stop];
    const double *amount = amounts + plan->slots[stop];
    c.paceA = factorA * vigour * (b[19] + 2.3) / 2.3;
    c.paceN = factorN * vigour;
    if (until > day && !advance(b, y, &c, &day, until, &step, tolerance, &evaluations)) return -1;
    switch (plan->kinds[stop]) {
      case OUTPUT:
        for (int i = 0; i < 15; i++) out[plan->slots[stop] * 15 + i] = y[i];
        continue;
      case SEGMENT: {
        const double *segment = plan->segments + 4 * plan->slots[stop];
        factorA = segment[0], factorN = segment[1], c.freeRatio = segment[2] / b[6];
        c.breakUp = b[13] * segment[3], c.ammonify = b[14] * segment[3];
        break;
      }
      case VIGOUR: vigour = amount[0]; break;
      case LOAD: c.load = amount[0]; break;
      case AMMONIA: y[0] += amount[0], y[13] += amount[0], y[14] += amount[0], y[15] = 1e10; break;
      case CULTURE:
        y[7] *= y[5] / (y[5] + amount[0]), y[8] *= y[6] / (y[6] + amount[1]);
        y[5] += amount[0], y[6] += amount[1], inoculated = day;
        break;
      case EXCHANGE: {
        const double f = amount[0], stay = 1 - f * exp(-(day - inoculated) / b[20]);
        y[12] += f * (y[0] + y[1] + y[2] + y[4]);
        y[0] *= 1 - f, y[1] *= 1 - f, y[4] *= 1 - f;
        y[2] = y[2] * (1 - f) + f * amount[1], y[13] += f * amount[1];
        y[9] = y[9] * (1 - f) + f * amount[2];
        y[5] *= stay, y[6] *= stay;
        break;
      }
    }
    step = min(step, 0.1);
  }
  return evaluations;
}
