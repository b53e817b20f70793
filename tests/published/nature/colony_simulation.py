"""A colony of single wasps, each with its own days, to hold against the program's chains of boxes.

Reads 'name value' lines from standard input: what the colony is given (queen, cells, dates, the
taxon) and the folder of the taxa tables, from which the days of egg, larva and sealed brood are
read here. Prints a line for each day: eggs larvae sealed_small sealed_large workers gynes males.

Nothing of the program's reckoning is used. Each egg draws its days from gamma distributions of
SciPy, at a moment of its day; each worker draws a life that runs faster in the decline; each dies
or lives at a passage by a throw. A colony of few wasps is ruled by chance, so SCALE colonies share
one nest: all that grows with their number is multiplied, and the counts are divided again.
"""
import csv
import math
import pathlib
import sys

import numpy as np
from scipy import stats

given = dict(line.split(None, 1) for line in sys.stdin.read().splitlines() if line.strip())


def number(name):
    return float(given[name])


def published_days(parameter):
    """The days of a stage as the table has them, of the taxon or of the nearest group above it."""
    rows = {}
    for path in sorted(pathlib.Path(given["tables"].strip()).glob("*.csv")):
        if path.name == "sources.csv":
            continue
        with open(path, newline="", encoding="utf-8") as file:
            lines = [line for line in file if not line.startswith("#")]
        for row in csv.DictReader(lines):
            rows.setdefault((row["subject"], row["parameter"]), row)
    subject = given["taxon"].strip()
    while True:
        row = rows.get((subject, parameter))
        if row is not None:
            if row["typical"]:
                return float(row["typical"])
            return (float(row["low"]) + float(row["high"])) / 2
        above = rows.get((subject, "group"))
        if above is None:
            sys.exit(f"the tables have no {parameter}")
        subject = above["words"]


SCALE = max(1.0, 150000 / number("peak"))
egg_days = published_days("brood.egg")
larva_days = published_days("brood.larva")
sealed_days = published_days("brood.pupa")
large = number("large_ratio")
dice = np.random.default_rng(20260804)


def days_of(mean, parts, count):
    """Times about `mean` whose spread is that of `parts` passages of a day or more each."""
    variance = mean * mean / parts - mean
    shape = mean * mean / variance
    return stats.gamma.rvs(shape, scale=mean / shape, size=count, random_state=dice)


class Brood:
    """Those laid so far that are still eggs, larvae or sealed: when each hatches, spins, emerges."""

    def __init__(self, ratio):
        self.ratio = ratio
        self.hatches = self.spins = self.emerges = np.empty(0)

    def lay(self, day, count):
        at = day - dice.random(count)
        hatches = at + days_of(egg_days, 3, count)
        spins = hatches + days_of(larva_days * self.ratio, 5, count)
        emerges = spins + days_of(sealed_days * self.ratio, 7, count)
        alive = (1 - number("brood_loss")) ** (1 / 3)
        # One that dies does so at the end of a stage, and leaves its cell there.
        dies_egg, dies_larva, dies_sealed = (dice.random(count) > alive for _ in range(3))
        spins[dies_egg] = hatches[dies_egg]
        emerges[dies_egg] = hatches[dies_egg]
        emerges[dies_larva & ~dies_egg] = spins[dies_larva & ~dies_egg]
        lost = dies_egg | dies_larva | dies_sealed
        self.hatches = np.append(self.hatches, hatches)
        self.spins = np.append(self.spins, spins)
        self.emerges = np.append(self.emerges, np.where(lost, -emerges, emerges))  # below 0: dies

    def stages(self, day):
        ends = np.abs(self.emerges)
        eggs = int(np.sum(self.hatches > day))
        larvae = int(np.sum((self.hatches <= day) & (self.spins > day)))
        sealed = int(np.sum((self.spins <= day) & (ends > day)))
        return eggs, larvae, sealed

    def emerge(self, day):
        """Takes out all whose time has come; how many of them live."""
        out = np.abs(self.emerges) <= day
        born = int(np.sum(self.emerges[out] > 0))
        self.hatches, self.spins, self.emerges = (
            self.hatches[~out], self.spins[~out], self.emerges[~out])
        return born


def whole(expected):
    """A whole number of that mean."""
    low = math.floor(expected)
    return low + int(dice.random() < expected - low)


small_brood, large_brood = Brood(1.0), Brood(large)
lives = np.empty(0)  # of workers: share of the life that is left
first = number("first_workers") * SCALE
first_brood, waiting = first, 0.0
small_cells, target = first, -1.0
gynes = males = 0
stage_days = egg_days + larva_days + sealed_days
last = int(math.ceil(number("end_on")))
first_day = number("first_workers_on")

for day in range(1, last + 1):
    workers = len(lives)
    small_now = sum(small_brood.stages(day - 1))
    large_now = sum(large_brood.stages(day - 1))
    brood = first_brood + small_now + waiting
    # The queen: alone she fills her cells by the day her first workers come; then food and she
    # herself bend into each other; laying dies away at the end of the season.
    alone = number("founding_eggs") * SCALE
    if workers == 0:
        alone = min(alone, (number("founding_cells") * SCALE - first) / first_day)
    most = number("queen_most") * SCALE
    eggs = most * (1 - math.exp(-(alone + number("eggs_per_worker") * workers) / most))
    ebb = 1.0 if day <= number("stop_on") else math.exp(-(day - number("stop_on")) / 12)
    eggs *= ebb
    sexual = 0.0
    if day >= number("switch_on") and workers > 0:
        target = max(target, number("large_per_small") * small_cells)
        sexual = min(target / number("fill_days"), target - large_now)
        sexual = min(max(sexual, 0.0), most) * ebb
    if day >= number("fade_on"):
        eggs *= number("kept")
    room = (brood + eggs) * (1 + number("spare_cells") if workers > 0 else 1)
    built = number("founding_eggs") * SCALE + number("cells_per_worker") * workers
    small_cells += min(max(room - small_cells, 0.0), built)
    eggs = min(max(eggs, 0.0), max(0.0, small_cells - brood))
    small_brood.lay(day, whole(eggs))
    large_brood.lay(day, whole(sexual))

    born = small_brood.emerge(day)
    if day < first_day:
        waiting += born
        born = 0
    elif first_brood > 0:
        born += whole(max(first_brood, waiting))
        first_brood = waiting = 0.0
    life = number("worker_life")
    if day > number("decline_on"):
        life = min(life, max(1.0, (number("end_on") - day) / 3))
    life = max(life, 3.0)  # no box is left in less than a day
    lives = lives - 1 / life
    lives = lives[lives > 0]
    usual = number("worker_life")
    shares = days_of(usual, 3, born) / usual
    lives = np.append(lives, shares - dice.random(born) / usual)
    lives = lives[lives > 0]

    new = large_brood.emerge(day)
    new_gynes = dice.binomial(new, number("gyne_share"))
    gynes += new_gynes - dice.binomial(gynes, 1 / number("leave_days"))
    males += new - new_gynes - dice.binomial(males, 1 / number("leave_days"))

    eggs_s, larvae_s, sealed_s = small_brood.stages(day)
    eggs_l, larvae_l, sealed_l = large_brood.stages(day)
    if first_brood > 0:  # the first brood keeps together
        if day < first_day * egg_days / stage_days:
            eggs_s += first_brood
        elif day < first_day * (egg_days + larva_days) / stage_days:
            larvae_s += first_brood
        else:
            sealed_s += first_brood
    counts = (eggs_s + eggs_l, larvae_s + larvae_l, sealed_s, sealed_l, len(lives), gynes, males)
    print(day, *(f"{one / SCALE:.6g}" for one in counts))
