"""Densities by SciPy, for comparison: reads a request from standard input, prints figures.

Lines: 'bounds COUNT', 'share PART WHOLE', 'kernel SMOOTHING N M' followed by N points and M places
(east north), 'loo SMOOTHING N' followed by N points.
"""
import sys

import numpy as np
from scipy import stats

words = sys.stdin.read().split()
at = 0


def take(count):
    global at
    part = [float(word) for word in words[at:at + count]]
    at += count
    return part


while at < len(words):
    what = words[at]
    at += 1
    if what == "bounds":
        (count,) = take(1)
        low = stats.chi2.ppf(0.1, 2 * count) / 2 if count > 0 else 0.0
        print(f"{low:.12g} {stats.chi2.ppf(0.9, 2 * count + 2) / 2:.12g}")
    elif what == "share":
        part, whole = take(2)
        low = stats.beta.ppf(0.1, part, whole - part + 1) if part > 0 else 0.0
        high = stats.beta.ppf(0.9, part + 1, whole - part) if part < whole else 1.0
        print(f"{low:.12g} {high:.12g}")
    elif what == "kernel":
        smoothing, n, m = take(3)
        points = np.array(take(2 * int(n))).reshape(-1, 2).T
        places = np.array(take(2 * int(m))).reshape(-1, 2).T
        # gaussian_kde shapes its kernel as the data's spread, so the points must spread alike in
        # every direction; then one factor gives the round kernel asked for.
        spread = np.cov(points)
        if not np.allclose(spread, np.eye(2) * spread[0, 0], rtol=1e-9, atol=spread[0, 0] * 1e-9):
            sys.exit("the points do not spread alike in every direction")
        kde = stats.gaussian_kde(points, bw_method=smoothing / np.sqrt(spread[0, 0]))
        for value in kde(places):
            print(f"{value * n * 1e6:.12g}")
    elif what == "loo":
        smoothing, n = take(2)
        n = int(n)
        points = np.array(take(2 * n)).reshape(-1, 2)
        total = 0.0
        for i in range(n):
            others = np.delete(points, i, axis=0)
            kernel = stats.multivariate_normal(mean=points[i], cov=np.eye(2) * smoothing**2)
            total += np.log(kernel.pdf(others).sum())
        print(f"{total:.12g}")
    else:
        sys.exit(f"unknown word {what}")
