"""The same model of the water solved by SciPy's general solvers, the derivative in Python, restarted at every stop."""

import math
from collections import namedtuple

from scipy.integrate import odeint, solve_ivp

Plan = namedtuple("Plan", "days kinds slots segments")
Solver = namedtuple("Solver", "method tolerance")
columns = [0, 1, 2, 3, 4, 5, 6, 9]


def solve(plan, solver, b, start, own, out):
    """Writes the states at the plan's outputs into rows of `out`, by kernel column."""
    method, tolerance = solver
    y = [start[i] for i in columns]
    factor_a, factor_n, free, decay, load, vigour, inoculated = 1.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0
    asleep_a = asleep_n = 1.0
    day = 0.0
    for until, kind, slot in zip(plan.days, plan.kinds, plan.slots):
        if until > day:
            pace_a, pace_n = factor_a * vigour, factor_n * vigour

            def slope(t, y, start=day, sleep_a=asleep_a, sleep_n=asleep_n):
                a, n, x, food, dissolved, qa, qn, k = y
                awake_a = 1 - sleep_a * math.exp(-(t - start) / b[11])
                awake_n = 1 - sleep_n * math.exp(-(t - start) / b[12])
                most_a = pace_a * awake_a * (b[19] + 2.3) / 2.3 * qa
                most_n = pace_n * awake_n * qn
                k_a, k_n = max(b[2], most_a / 80), max(b[3], most_n / 80)
                r_a = most_a * a * b[4] * k / ((k_a + a) * (b[4] + a) * (b[19] + k))
                r_n = most_n * n * b[5] / ((k_n + n) * (b[5] + n) * (1 + free * a / b[6]))
                taking = b[16] / ((0.1 + x) * (0.05 + a))
                ripe = min(1.0, max(0.0, (t - 20) / 40))
                broken, freed = b[13] * decay * food, b[14] * decay * dissolved
                return [
                    freed + load - r_a - taking * a * (0.1 + x),
                    0.98 * r_a - r_n,
                    0.99 * r_n - (0.025 * taking + b[17] * ripe) * x,
                    -broken,
                    b[15] * broken - freed,
                    b[0] * r_a * (1 - qa / b[7]) - b[9] * awake_a * qa + b[18],
                    b[1] * r_n * (1 - qn / b[8]) - b[10] * awake_n * qn + b[18],
                    (freed - 1.96 * r_a) / 14.007,
                ]

            if method == "odeint":
                y = odeint(slope, y, [day, until], tfirst=True, rtol=tolerance, atol=1e-3 * tolerance)[-1].tolist()
            else:
                y = solve_ivp(slope, (day, until), y, method=method, rtol=tolerance, atol=1e-3 * tolerance).y[:, -1].tolist()
            asleep_a *= math.exp(-(until - day) / b[11])
            asleep_n *= math.exp(-(until - day) / b[12])
            day = until
        if kind == 10:
            for value, column in zip(y, columns):
                out[slot][column] = value
        elif kind == 0:
            factor_a, factor_n, free, decay = plan.segments[slot]
        elif kind == 1:
            vigour = own[slot]
        elif kind == 2:
            load = own[slot]
        elif kind == 3:
            y[0] += own[slot]
        elif kind == 7:
            asleep_a = (asleep_a * y[5] + own[slot]) / (y[5] + own[slot])
            asleep_n = (asleep_n * y[6] + own[slot + 1]) / (y[6] + own[slot + 1])
            y[5] += own[slot]
            y[6] += own[slot + 1]
            inoculated = day
        elif kind == 8:
            fraction = own[slot]
            stay = 1 - fraction * math.exp(-(day - inoculated) / b[20])
            kept = 1 - fraction
            y = [kept * y[0], kept * y[1], kept * y[2] + fraction * own[slot + 1], y[3], kept * y[4],
                 stay * y[5], stay * y[6], kept * y[7] + fraction * own[slot + 2]]
