"""Ensemble MCMC (Foreman-Mackey et al. 2013) on the compiled posterior.

ensemble.py LIBRARY DESCRIPTION stretch|differential WALKERS STEPS DISCARDED RUNS: prints what each run found as JSON.
Moves stretch (Goodman & Weare 2010) or come from differential evolution (ter Braak 2006). The snooker often mixed with
the latter is left out: with it, in release 3.1.4, spreads came out a seventh too narrow here.
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


moves = {"stretch": emcee.moves.StretchMove, "differential": emcee.moves.DEMove}
found = []
for seed in range(1, runs + 1):
    began = time.process_time()
    random = np.random.RandomState(seed)
    sampler = emcee.EnsembleSampler(walkers, size, log_posteriors, moves=moves[kind](), vectorize=True)
    sampler.random_state = random.get_state()
    sampler.run_mcmc(start(random), steps)
    kept = sampler.get_chain(discard=discarded, flat=True)
    means, variances = kept.mean(axis=0), kept.var(axis=0)
    found.append({
        "seconds": time.process_time() - began,
        "evaluations": walkers * steps,
        "means": means.tolist(),
        "variances": variances.tolist(),
    })
print(json.dumps(found))
