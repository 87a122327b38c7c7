"""The posterior of posterior.c in Python, the water by SciPy's odeint.

interpreted.py DESCRIPTION SCORES FOUND: weighs a file of scores, prints seconds and count as JSON.
"""

import json
import math
import sys
import time

import numpy as np
from water import Plan, Solver, solve

biology_width, state_width = 21, 15
water_solver = Solver("odeint", 3e-5)


class Posterior:
    def __init__(self, path):
        numbers = np.fromfile(path).tolist()

        def take(count):
            taken = numbers[:count]
            del numbers[:count]
            return taken

        def rows_of(count, width):
            return [take(width) for _ in range(count)]

        head = [int(x) for x in take(10)]
        stops, segments, self.size, self.width, self.rows, recipes, readings = head[:7]
        self.blur, self.tint, self.cross = head[7:]
        take(1)  # The tolerance of the compiled kernel.
        days, kinds, slots = take(stops), take(stops), take(stops)
        self.plan = Plan(days, [int(x) for x in kinds], [int(x) for x in slots], rows_of(segments, 4))
        self.usual = take(biology_width)
        self.priors = rows_of(self.size, 3)
        whole = (int, float, int, int, int)
        self.recipes = [[kind(x) for kind, x in zip(whole, row)] for row in rows_of(recipes, 5)]
        whole = (int, int, int, *[float] * 7)
        self.readings = [[kind(x) for kind, x in zip(whole, row)] for row in rows_of(readings, 10)]

    def __call__(self, scores):
        values = [value_of(prior, score) for prior, score in zip(self.priors, scores)]
        inputs = self.usual + [0.0] * (state_width + self.width)
        for place, factor, first, second, power in self.recipes:
            inputs[place] = factor * values[first] * values[second] ** power
        if not (clears(inputs[2], inputs[9], inputs[0]) and clears(inputs[3], inputs[10], inputs[1])):
            return -math.inf
        states = [[0.0] * state_width for _ in range(self.rows)]
        biology, start = inputs[:biology_width], inputs[biology_width : biology_width + state_width]
        solve(self.plan, water_solver, biology, start, inputs[biology_width + state_width :], states)
        found = sum(math.log(self.likelihood(reading, values, states)) for reading in self.readings)
        return found - 0.5 * sum(score * score for score in scores)

    def likelihood(self, reading, values, states):
        row, analyte, bias, low, high, offset, top, if_failed, slipped, held = reading
        level = max(0.0, states[row][analyte])
        if analyte == 0:
            level += values[self.tint]
        elif analyte == 2:
            level += values[self.cross] * max(0.0, states[row][1])
        middle, blur = math.log(level + offset) + values[bias], values[self.blur]
        chance = max(0.0, normal_cdf((high - middle) / blur) - normal_cdf((low - middle) / blur))
        failed = 0.18 * min(1.0, max(0.0, (level / top - 4) / 2))
        return held * (chance + failed * (if_failed - chance)) + slipped


def value_of(prior, score):
    shape, centre, spread = prior
    x = centre + spread * score
    return math.exp(x) if shape == 0 else x if shape == 1 else 1 / (1 + math.exp(-x))


def clears(half, loss, growth):
    return growth > loss and half * loss / (growth - loss) <= 0.1


def normal_cdf(x):
    return 0.5 * math.erfc(-x / math.sqrt(2))


if __name__ == "__main__":
    posterior = Posterior(sys.argv[1])
    points = np.fromfile(sys.argv[2]).reshape(-1, posterior.size).tolist()
    began = time.process_time()
    found = [posterior(point) for point in points]
    print(json.dumps({"seconds": time.process_time() - began, "count": len(points)}))
    np.array(found).tofile(sys.argv[3])
