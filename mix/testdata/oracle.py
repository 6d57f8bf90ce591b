"""An independent answer to the shelves of the solver's test, by SciPy.

Reads one JSON document {"shelves": [...]} on standard input. Each shelf has
A (nutrients x products) and b, so that the misfit is |A x - b|^2; upper, the
largest dose; G and h, the limits G x <= h; most, the products that may be used.
Prints for each shelf the least misfit with all products within the limits
(SLSQP) and the least misfit of any set of `most` products without the limits
(non-negative least squares on every set).
"""
import itertools
import json
import sys

import numpy as np
from scipy.optimize import minimize, nnls


def with_limits(a, b, upper, g, h):
    n = a.shape[1]
    scale = np.linalg.norm(a, axis=0)
    scale[scale == 0] = 1
    m, gm = a / scale, (g / scale if len(g) else g)
    best = np.inf
    start = np.zeros(n)
    for _ in range(3):
        r = minimize(lambda y: np.sum((m @ y - b) ** 2), start, jac=lambda y: 2 * m.T @ (m @ y - b),
                     bounds=[(0, u * s) for u, s in zip(upper, scale)],
                     constraints=[{"type": "ineq", "fun": lambda y: h - gm @ y, "jac": lambda y: -gm}] if len(g) else [],
                     method="SLSQP", options={"ftol": 1e-15, "maxiter": 500})
        y = np.clip(r.x, 0, np.array(upper) * scale)
        if len(g) and np.any(gm @ y - h > 1e-9 * (1 + np.abs(h))):
            worst = np.max((gm @ y) / np.where(h > 0, h, np.inf))
            y = y / max(worst, 1)  # the limits of these shelves are positive: shrinking keeps them
        best = min(best, float(np.sum((m @ y - b) ** 2)))
        start = y
    return best


def best_set(a, b, most):
    n = a.shape[1]
    best = float(b @ b)
    for chosen in itertools.combinations(range(n), min(most, n)):
        best = min(best, nnls(a[:, chosen], b)[1] ** 2)
    return best


out = []
for s in json.load(sys.stdin)["shelves"]:
    a, b = np.array(s["A"]), np.array(s["b"])
    g, h = np.array(s["G"] or []), np.array(s["h"] or [])
    out.append({"limited": with_limits(a, b, s["upper"], g, h), "set": best_set(a, b, s["most"])})
json.dump(out, sys.stdout)
