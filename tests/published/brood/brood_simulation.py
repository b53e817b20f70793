"""Single cells of a comb, for comparison: reads what is given from standard input, prints figures.

Each comb draws its sealed days, their spread, threshold, share saved and growth; each of its cells
draws, with SciPy, how long it stays sealed and when it was sealed, among those still sealed on the
first day; then the hours of a temperature record go by and cells open. Nothing here knows the
program's integrals. Prints for each day: the mean of the adults, and 10, 50 and 90 % of them; the
last line is the same for all of them together.
"""

import sys

import numpy as np
from scipy import stats

given = {}
for line in sys.stdin:
    name, *values = line.split()
    given[name] = [float(value) for value in values]


def spread(name, chance):
    """The value at a chance, straight through 10, 50 and 90 %."""
    low, middle, high = given[name]
    slope = np.where(chance < 0.5, middle - low, high - middle) / 0.4
    return middle + slope * (chance - 0.5)


rng = np.random.default_rng(20260804)
combs, cells = 6000, 3000
count = int(given["sealed"][0])
hours = np.array(given["celsius"])
reference, most = given["reference"][0], given["range_high"][0]
days = len(hours) // 24

mean = given["pupa_days"][0] * np.maximum(0.3, spread("days_factor", rng.random(combs)))
cv = np.maximum(0.01, spread("duration_cv", rng.random(combs)))
threshold = spread("threshold", rng.random(combs))
saved = np.clip(spread("saved", rng.random(combs)), 0, 1)
growth = spread("growth", rng.random(combs))

adults = np.zeros((combs, days + 1))
for k in range(combs):
    shape = np.sqrt(np.log1p(cv[k] ** 2))
    sealed = stats.lognorm.rvs(shape, scale=mean[k] * np.exp(-shape**2 / 2), size=cells,
                               random_state=rng)
    age = sealed * rng.random(cells)
    # A cell is met the more often the longer it is sealed, and the older the rarer in a growing nest.
    weight = sealed * np.exp(-growth[k] * age)
    left = sealed - age
    rate = np.maximum(0, np.minimum(hours, most) - threshold[k]) / (reference - threshold[k]) / 24
    clock = np.concatenate([[0], np.cumsum(rate)])[::24]
    opened, _ = np.histogram(left, bins=clock, weights=weight)
    # Each cell of the comb opens on one of the days, or never.
    shares = np.append(opened / weight.sum() * saved[k], 0)
    shares[-1] = max(0.0, 1 - shares.sum())
    adults[k, :days] = rng.multinomial(count, shares / shares.sum())[:days]
    adults[k, days] = adults[k, :days].sum()

for day in range(days + 1):
    low, middle, high = np.quantile(adults[:, day], [0.1, 0.5, 0.9])
    print(adults[:, day].mean(), low, middle, high)
