"""Pairs of nests by SciPy, for comparison: reads a request from standard input, prints figures.

Lines: 'circle' (the radius, in deviations, that holds 95 % of a round normal distribution),
'normal SENT OWN LEAST EAST NORTH' (its density for two radii of 95 % and a further deviation),
'square HALF OWN LEAST EAST NORTH' (an even square blurred by ours, by numerical integration),
'assign ROWS COLUMNS N' followed by N triples row column gain (the greatest sum of gains).
"""
import sys

import numpy as np
from scipy import integrate, optimize, stats

words = sys.stdin.read().split()
at = 0


def take(count):
    global at
    part = [float(word) for word in words[at:at + count]]
    at += count
    return part


circle = np.sqrt(stats.chi2.ppf(0.95, 2))
while at < len(words):
    what = words[at]
    at += 1
    if what == "circle":
        print(f"{circle:.12g}")
    elif what == "normal":
        sent, own, least, east, north = take(5)
        variance = (sent**2 + own**2) / 2.4477**2 + least**2
        density = stats.multivariate_normal([0, 0], np.eye(2) * variance).pdf([east, north])
        print(f"{density:.12g}")
    elif what == "square":
        half, own, least, east, north = take(5)
        deviation = np.sqrt((own / 2.4477)**2 + least**2)
        parts = [
            integrate.quad(lambda u: stats.norm.pdf(where, u, deviation), -half, half,
                           points=[max(-half, min(half, where))], epsabs=1e-14)[0]
            for where in (east, north)
        ]
        print(f"{parts[0] * parts[1] / (2 * half)**2:.12g}")
    elif what == "assign":
        rows, columns, count = (int(number) for number in take(3))
        # To stay alone is a column of one's own, at no gain.
        gains = np.zeros((rows, columns + rows))
        gains[:, :columns] = -1e9
        for _ in range(count):
            row, column, gain = take(3)
            gains[int(row), int(column)] = gain
        made = optimize.linear_sum_assignment(gains, maximize=True)
        print(f"{gains[made].sum():.12g}")
    else:
        sys.exit(f"unknown request {what}")
