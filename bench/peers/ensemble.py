"""Ensemble MCMC (Goodman & Weare 2010; Foreman-Mackey et al. 2013) on the compiled posterior.

ensemble.py LIBRARY DESCRIPTION stretch|differential WALKERS STEPS DISCARDED RUNS: prints what each run found as JSON.
`differential`: four steps in five by differential evolution (ter Braak 2006), one by its snooker (2008).
"""

import ctypes
import json
import sys
import time

import emcee
import numpy as np

library, description, kind = sys.argv[1:4]
walkers, steps, discarded, runs = (int(x) for x in sys.argv[4:])
posterior = ctypes.CDLL(library)
size = ctypes.c_int()
posterior.openPosterior(ctypes.byref(ctypes.c_char_p(description.encode())), ctypes.byref(size))
size = size.value


def log_posteriors(scores):
    scores = np.ascontiguousarray(scores)
    found = np.empty(len(scores))
    count = ctypes.byref(ctypes.c_int(len(scores)))
    pointer = ctypes.POINTER(ctypes.c_double)
    posterior.logPosteriors(scores.ctypes.data_as(pointer), count, found.ctypes.data_as(pointer))
    return found


def start(random):
    """Draws from the prior, again where a draw is impossible."""
    points = random.standard_normal((walkers, size))
    while True:
        impossible = ~np.isfinite(log_posteriors(points))
        if not impossible.any():
            return points
        points[impossible] = random.standard_normal((impossible.sum(), size))


def moves():
    if kind == "stretch":
        return emcee.moves.StretchMove()
    return [(emcee.moves.DEMove(), 0.8), (emcee.moves.DESnookerMove(), 0.2)]


found = []
for seed in range(1, runs + 1):
    began = time.process_time()
    random = np.random.RandomState(seed)
    sampler = emcee.EnsembleSampler(walkers, size, log_posteriors, moves=moves(), vectorize=True)
    sampler.random_state = random.get_state()
    sampler.run_mcmc(start(random), steps)
    kept = sampler.get_chain(discard=discarded, flat=True)
    means, variances = kept.mean(axis=0), kept.var(axis=0)
    found.append({
        "seconds": time.process_time() - began,
        "evaluations": walkers * steps,
        "acceptance": float(sampler.acceptance_fraction.mean()),
        "means": means.tolist(),
        "variances": variances.tolist(),
    })
print(json.dumps(found))
