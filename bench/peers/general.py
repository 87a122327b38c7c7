"""general.py TANKS METHOD TOLERANCE STATES: solves the first 24 tanks once and prints seconds and count as JSON."""

import json
import sys
import time

import numpy as np
from water import Plan, Solver, solve

source, method, tolerance, target = sys.argv[1], sys.argv[2], float(sys.argv[3]), sys.argv[4]
values = np.fromfile(source)
stops, segments, count, width, rows = (int(x) for x in values[:5])
parts = np.split(values[5:], np.cumsum([stops, stops, stops, 4 * segments, 21 * count, 15 * count]))
plan = Plan(
    parts[0].tolist(),
    parts[1].astype(int).tolist(),
    parts[2].astype(int).tolist(),
    parts[3].reshape(-1, 4).tolist(),
)
biologies, starts = parts[4].reshape(count, 21).tolist(), parts[5].reshape(count, 15).tolist()
amounts = parts[6].reshape(count, width).tolist()
solved = min(count, 24)

states = np.zeros((solved, rows, 15))
began = time.process_time()
for i in range(solved):
    solve(plan, Solver(method, tolerance), biologies[i], starts[i], amounts[i], states[i])
print(json.dumps({"seconds": time.process_time() - began, "count": solved}))
states.tofile(target)
