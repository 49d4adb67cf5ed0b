"""An outside calculation of what a studio's pieces say about its clay.

Brute force with numpy and scipy, written from the description of the model in
`crates/core/src/evidence/window/mod.rs`, not from its code: other grids (threshold every
0.006 over +/- 6 sd, Simpson's rule; each glaze's true expansion by Gauss-Legendre
with 300 or 800 nodes over +/- 6 sd), everything in logarithms, P(crazes) by summing over
both. `python oracle.py > ../../data/window_cases.json` draws notebooks and works them
out; `python oracle.py COUNT SEED` draws others.
"""
import json
import math
import random
import sys

import numpy as np
from scipy.integrate import simpson
from scipy.special import log_ndtr, logsumexp, ndtr
from scipy.stats import norm

W = 0.12
DENSE = {0: .45, 1: .60, 7: .75, 30: .87, 180: .95, 365: .98, 1095: 1}
POROUS = {0: .30, 1: .40, 7: .52, 30: .65, 180: .82, 365: .90, 1095: 1}
SD = {"computed": 0.37, "printed": 0.6, "unknown": 1.5}
RULES = {n: np.polynomial.legendre.leggauss(n) for n in (300, 800)}


def share_by(age, dense):
    table = DENSE if dense else POROUS
    days = sorted(table)
    return float(np.interp(math.log1p(age), [math.log1p(d) for d in days], [table[d] for d in days]))


def latest(looks, kind):
    best, single = {}, []
    for line, look in enumerate(looks):
        if look.get(kind) is None:
            continue
        if look.get("batch") is None:
            single.append(look)
            continue
        key = (look["age_days"], line)
        if look["batch"] not in best or key > best[look["batch"]][0]:
            best[look["batch"]] = (key, look)
    return single + [look for _, look in best.values()]


def ln_looks(difference, looks, kind, dense):
    """ln of the chance of all looks of one glaze; `difference` past the edge."""
    total = np.zeros_like(difference)
    for look in looks:
        share = share_by(look["age_days"], dense) if kind == "crazed" else 1.0
        count, pieces = look[kind], look["pieces"]
        chance_ln = math.log(share) + log_ndtr(difference / W)
        if share == 1.0:
            rest_ln = log_ndtr(-difference / W)
        else:
            rest_ln = np.log1p(-share * ndtr(difference / W))
        total = total + count * chance_ln + (pieces - count) * rest_ln
    return total


class Edge:
    """The threshold of crazing (sign +1) or the floor of shivering (-1)."""

    def __init__(self, kind, sign, mean, sd, glazes, dense):
        self.kind, self.sign, self.dense = kind, sign, dense
        self.at = mean + np.linspace(-6 * sd, 6 * sd, 2 * int(round(6 * sd / 0.006)) + 1)
        ln = norm.logpdf(self.at, mean, sd)
        for glaze in glazes:
            ln = ln + self.ln_glaze(glaze)
        density = np.exp(ln - ln.max())
        self.density = density / simpson(density, x=self.at)

    def inner(self, glaze):
        a, e = glaze["mean"], SD[glaze["basis"]]
        nodes, node_weights = RULES[300 if e < 1 else 800]
        t = a + 6 * e * nodes
        ln_weight = np.log(node_weights * 6 * e) + norm.logpdf(t, a, e)
        difference = self.sign * (t[None, :] - self.at[:, None])
        looks = latest(glaze["looks"], self.kind)
        return ln_weight[None, :] + ln_looks(difference, looks, self.kind, self.dense), difference

    def ln_glaze(self, glaze):
        if not latest(glaze["looks"], self.kind):
            return 0.0
        return logsumexp(self.inner(glaze)[0], axis=1)

    def quantile(self, share):
        steps = 0.5 * (self.density[1:] + self.density[:-1]) * np.diff(self.at)
        below = np.concatenate([[0], np.cumsum(steps)])
        return float(np.interp(share, below / below[-1], self.at))

    def chance(self, glaze):
        joint, difference = self.inner(glaze)
        given = np.exp(joint - logsumexp(joint, axis=1)[:, None])
        per_edge = (given * ndtr(difference / W)).sum(axis=1)
        return float(simpson(per_edge * self.density, x=self.at))


def work_out(case):
    clay = case["clay_expansion"]
    mean, sd = (6.5, 1.2) if clay is None else (clay - 0.3, 0.8)
    dense = case["absorption"] is not None and case["absorption"] <= 3
    craze = Edge("crazed", +1, mean, sd, case["glazes"], dense)
    shiver = Edge("shivered", -1, mean - 3.0, 1.0, case["glazes"], dense)
    return {
        "craze_threshold": [craze.quantile(q) for q in (.5, .05, .95)],
        "shiver_floor": [shiver.quantile(q) for q in (.5, .05, .95)],
        "p_craze": [craze.chance(g) for g in case["glazes"]],
        "p_shiver": [shiver.chance(g) for g in case["glazes"]],
    }


def draw(rng):
    """A notebook: two of three drawn from the model, the third with counts at random,
    so that its glazes contradict each other."""
    from_model = rng.random() < 2 / 3
    clay = rng.choice([None, None, round(rng.uniform(4.5, 9), 2)])
    absorption = rng.choice([None, 0.5, 3.0, 3.1, 10])
    dense = absorption is not None and absorption <= 3
    threshold = rng.gauss(6.5, 1.2) if clay is None else rng.gauss(clay - 0.3, 0.8)
    floor = rng.gauss((6.5 if clay is None else clay - 0.3) - 3.0, 1.0)

    def count(true, kind, pieces, age):
        if not from_model:
            return rng.choice([0, 0, pieces, rng.randint(0, pieces)])
        if kind == "crazed":
            chance = share_by(age, dense) * float(ndtr((true - threshold) / W))
        else:
            chance = float(ndtr((floor - true) / W))
        return sum(rng.random() < chance for _ in range(pieces))

    def glaze():
        basis = rng.choice(["computed"] * 6 + ["printed", "unknown"])
        mean = 6.5 if basis == "unknown" else round(rng.uniform(2.5, 10), 3)
        true = rng.gauss(mean, SD[basis])
        looks = []
        for _ in range(rng.choice([0, 1, 1, 1, 2, 3, 5])):
            pieces = rng.choice([1, 2, 5, 5, 10, 20, 40])
            age = rng.choice([0, 0, 1, 3, 7, 14, 30, 60, 180, 240, 365, 700, 1095, 2000])
            looks.append({
                "age_days": age,
                "pieces": pieces,
                "crazed": None if rng.random() < .1 else count(true, "crazed", pieces, age),
                "shivered": None if rng.random() < .4 else count(true, "shivered", pieces, age),
                "batch": rng.choice([None, None, "1", "1", "2"]),
            })
        return {"mean": mean, "basis": basis, "looks": looks}

    return {
        "drawn": "from the model" if from_model else "at random",
        "clay_expansion": clay,
        "absorption": absorption,
        "glazes": [glaze() for _ in range(rng.choice([1, 1, 2, 3, 4, 6, 9]))],
    }


if __name__ == "__main__":
    count, seed = (int(word) for word in sys.argv[1:3]) if len(sys.argv) == 3 else (24, 20261125)
    rng = random.Random(seed)
    cases = [draw(rng) for _ in range(count)]
    for case in cases:
        case["outside"] = work_out(case)
    print(json.dumps({
        "source": "worked outside with numpy 2.4.6 and scipy 1.17.1, tests/peers/window/oracle.py",
        "cases": cases,
    }))
