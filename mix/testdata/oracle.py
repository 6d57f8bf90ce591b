"""An independent answer to the shelves of the solver's test, by SciPy.

Reads one JSON document {"shelves": [...]} on standard input. Each shelf has
wishes (level, weight, high, harm, given: mg/L, 0 where there is none), shares
(wishes x products) and base, what is there without a product; upper, the largest
dose; G and h, the limits G x <= h; most, the products that may be used.

What a level r costs, in parts of its wish: w (1 - r)^2 where it is short, 0.01 w
(r - 1)^2 above it, 0.1 w (r/high - 1)^2 above the high line and 10 (r/harm - 1)^2
above the harmful one, where what water gives moves the two lines up. The wish may
be taken at another strength, which moves the 1. An EC that rises in a straight line
from the doses costs (1 - EC/low)^2 below its range and (EC/high - 1)^2 above it.

Prints for each shelf the least cost with all products within the limits (SLSQP)
and the least cost of any set of `most` products without the limits. That is an
exact non-negative least squares: max(0, z)^2 is the least (z + s)^2 over s >= 0.
"""
import itertools
import json
import sys

import numpy as np
from scipy.optimize import minimize, nnls


def pieces(shelf):
    """Rows z = a x + b whose positive part counts, squared."""
    rows, offs = [], []
    for w, share, base in zip(shelf["wishes"], np.array(shelf["shares"]), shelf["base"]):
        def add(weight, of, sign, line):
            root = np.sqrt(weight) / of * sign
            rows.append(root * share)
            offs.append(root * (base - line))
        at = w["level"] * w["strength"]
        add(w["weight"], w["level"], -1, at)
        add(0.01 * w["weight"], w["level"], 1, at)
        if w["high"] > 0:
            line = max(w["high"], w["given"])
            add(0.1 * w["weight"], line, 1, line)
        if w["harm"] > 0:
            line = max(w["harm"], w["given"])
            add(10, line, 1, line)
    ec = shelf["ec"]
    if ec["low"] > 0:
        slopes = np.array(ec["slopes"])
        for sign, line in ((-1, ec["low"]), (1, ec["high"])):
            rows.append(sign * slopes / line)
            offs.append(sign * (ec["base"] - line) / line)
    return np.array(rows), np.array(offs)


def cost(rows, offs, x):
    return float(np.sum(np.maximum(0, rows @ x + offs) ** 2))


def with_limits(rows, offs, upper, g, h):
    n = rows.shape[1]
    scale = np.linalg.norm(rows, axis=0)
    scale[scale == 0] = 1
    m, gm = rows / scale, g / scale
    best, start = np.inf, np.zeros(n)
    for _ in range(4):
        r = minimize(lambda y: cost(m, offs, y), start, jac=lambda y: 2 * m.T @ np.maximum(0, m @ y + offs),
                     bounds=[(0, u * s) for u, s in zip(upper, scale)],
                     constraints=[{"type": "ineq", "fun": lambda y: h - gm @ y, "jac": lambda y: -gm}],
                     method="SLSQP", options={"ftol": 1e-15, "maxiter": 1000})
        y = np.clip(r.x, 0, np.array(upper) * scale)
        if np.any(gm @ y - h > 1e-9 * (1 + np.abs(h))):
            y = y / max(np.max((gm @ y) / np.where(h > 0, h, np.inf)), 1)  # the limits of these shelves are positive
        best, start = min(best, cost(m, offs, y)), y
    return best


def best_set(rows, offs, most):
    n, k = rows.shape[1], len(offs)
    best = cost(rows, offs, np.zeros(n))
    for chosen in itertools.combinations(range(n), min(most, n)):
        best = min(best, nnls(np.hstack([rows[:, chosen], np.eye(k)]), -offs)[1] ** 2)
    return best


out = []
for s in json.load(sys.stdin)["shelves"]:
    rows, offs = pieces(s)
    out.append({"limited": with_limits(rows, offs, s["upper"], np.array(s["G"]), np.array(s["h"])), "set": best_set(rows, offs, s["most"])})
json.dump(out, sys.stdout)
