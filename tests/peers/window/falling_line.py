"""An outside calculation of what a studio's pieces say about its clay.

Numpy and scipy, written from the description of the model (its text stands at the head of
`crates/core/src/evidence/window/mod.rs`), not from its code: plain probabilities in whole
arrays, every batch worked out at every true expansion, a matrix product for each lot.

`python falling_line.py figures` prints the plain figures of the model's description;
`python falling_line.py > ../../data/window_cases.json` draws notebooks and works them out;
`python falling_line.py COUNT SEED` draws others.
"""
import json
import random
import sys

import numpy as np
from scipy.special import gammaln, ndtr

W, LOT, BATCH = 0.12, 0.20, 0.25
AGES = np.array([0, 1, 7, 30, 180, 365, 1095.0])
FALLEN = np.array([0, 0.08, 0.20, 0.38, 0.65, 0.80, 1.0])
POROUS, DENSE = (0.8, 0.35), (0.25, 0.12)
STEP = 0.01


def fallen(age):
    """The share of its fall that the line has behind it at an age."""
    return float(np.interp(np.log1p(age), np.log1p(AGES), FALLEN))


def spread(sd):
    """A shift of 0 on average: points and weights."""
    count = int(np.ceil(6 * sd / STEP - 1e-9))
    at = STEP * np.arange(-count, count + 1)
    weight = np.exp(-0.5 * (at / sd) ** 2)
    weight[[0, -1]] *= 0.5
    return at, weight / weight.sum()


def points(mean, sd, count, reach, cut):
    """Points evenly over +/- `reach` sd, those at or below 0 left out where `cut`."""
    at = np.linspace(mean - reach * sd, mean + reach * sd, count)
    weight = np.exp(-0.5 * ((at - mean) / sd) ** 2)
    if cut:
        weight, at = weight[at > 0], at[at > 0]
    return at, weight / weight.sum()


FINE = np.arange(-4, 4.0005, 0.001)
CURVES = {}


def curve(batch, kind):
    """P(count of this batch | x without its own shift), on FINE."""
    count, pieces = batch[kind], batch["pieces"]
    sight = batch["sight"] if kind == "crazed" else 1.0
    key = (kind, count, pieces, sight)
    if key not in CURVES:
        total = np.zeros_like(FINE)
        for shift, weight in zip(*spread(BATCH)):
            p = np.clip(sight * ndtr((FINE + shift) / W), 1e-12, 1 - 1e-12)
            ln = count * np.log(p) + (pieces - count) * np.log1p(-p)
            ln += gammaln(pieces + 1) - gammaln(count + 1) - gammaln(pieces - count + 1)
            total += weight * np.exp(ln)
        CURVES[key] = np.log(np.maximum(total, 1e-300))
    return CURVES[key]


def latest(batches, kind):
    best = {}
    for line, batch in enumerate(batches):
        if batch[kind] is None:
            continue
        key = (batch["member"], batch["lot"], batch["batch"] if batch["batch"] is not None else f"alone {line}")
        if key not in best or batch["age"] >= best[key]["age"]:
            best[key] = batch
    return list(best.values())


class Edge:
    """The line of crazing (sign +1) or the floor of shivering (-1)."""

    def __init__(self, kind, sign, mean, sd, families, fall):
        self.kind, self.sign, self.families = kind, sign, families
        count = int(np.ceil(12 * sd / STEP - 1e-9))
        self.at = mean - 6 * sd + STEP * np.arange(count + 1)
        self.fall, fall_weight = (np.zeros(1), np.ones(1)) if fall is None else points(*fall, 15, 3, True)
        prior = np.exp(-0.5 * ((self.at - mean) / sd) ** 2)
        prior[[0, -1]] *= 0.5
        ln = np.log(fall_weight)[:, None] + np.log(prior)[None, :]
        for family in families:
            if latest(family["batches"], kind):
                ln = ln + self.family(family)
        self.shares = np.exp(ln - ln.max())
        self.shares /= self.shares.sum()

    def family(self, family, future=None):
        """ln P(all that was seen of a family | fall, line), with a future piece where one is asked for."""
        a, e = family["a"], family["e"]
        half = int(np.ceil(6 * e / (2 * STEP) - 1e-9))
        t = a - 6 * e + 2 * STEP * np.arange(2 * half + 1)
        # The grids of the spec begin at -6 sd; the last point may lie a little beyond.
        t_weight = 2 * STEP * np.exp(-0.5 * ((t - a) / e) ** 2) / (e * np.sqrt(2 * np.pi))
        t_weight[[0, -1]] *= 0.5
        batches = latest(family["batches"], self.kind)
        lots = sorted({b["lot"] for b in batches} | ({future[1]} if future else set()))
        slopes = [points(s["mean"], s["sd"], 33, 4, s["mean"] > 0) for s in family["slopes"]]
        combos = [([], 1.0)]
        for at, weight in slopes:
            combos = [(b + [x], w * y) for b, w in combos for x, y in zip(at, weight)]
        shift, shift_weight = spread(LOT)
        # Differences of t and the line, finely enough for every pair.
        low = t[0] - self.at[-1]
        count = 2 * (len(t) - 1) + len(self.at)
        difference = low + STEP * np.arange(count)
        wide = difference[0] + shift[0] + STEP * np.arange(count + len(shift) - 1)
        out = np.empty((len(self.fall), len(self.at)))
        for row, fall in enumerate(self.fall):
            summed = np.zeros(count)
            scale = -np.inf
            for betas, weight in combos:
                ln_all = np.zeros(count)
                for lot in lots:
                    ln = np.zeros_like(wide)
                    for batch in batches:
                        if batch["lot"] != lot:
                            continue
                        moved = self.moved(family, batch["member"], betas)
                        drop = fall * (1 - fallen(batch["age"])) if self.kind == "crazed" else 0.0
                        ln += np.interp(self.sign * (wide + moved) - drop, FINE, curve(batch, self.kind))
                    if future and future[1] == lot:
                        moved = self.moved(family, future[0], betas)
                        ln += np.log(np.maximum(ndtr(self.sign * (wide + moved) / np.hypot(W, BATCH)), 1e-300))
                    top = ln.max()
                    mixed = np.convolve(np.exp(ln - top), shift_weight[::-1], mode="valid")
                    ln_all += top + np.log(np.maximum(mixed, 1e-300))
                here = ln_all.max()
                if here > scale:
                    summed *= np.exp(scale - here)
                    scale = here
                summed += weight * np.exp(ln_all - scale)
            for point in range(len(self.at)):
                first = len(self.at) - 1 - point
                value = (t_weight * summed[first:first + 2 * len(t) - 1:2]).sum()
                out[row, point] = scale + np.log(max(value, 1e-300))
        return out

    @staticmethod
    def moved(family, member, betas):
        slope, c = family["members"][member]
        return 0.0 if slope is None else betas[slope] * c

    def quantile(self, share):
        below = np.cumsum(self.shares.sum(axis=0))
        middle = below - 0.5 * self.shares.sum(axis=0)
        return float(np.interp(share, middle, self.at))

    def chance(self, family, member, lot):
        if not latest(family["batches"], self.kind):
            slope, c = family["members"][member]
            if slope is None:
                sd = np.sqrt(family["e"] ** 2 + W**2 + BATCH**2 + LOT**2)
                past = self.sign * (family["a"] - self.at) / sd
                return float((self.shares.sum(axis=0) * ndtr(past)).sum())
        before = 0.0 if not latest(family["batches"], self.kind) else self.family(family)
        after = self.family(family, (member, lot))
        return float((self.shares * np.exp(after - before)).sum())


def work_out(case):
    mean, sd = case["prior"]
    fall = DENSE if case["dense"] else POROUS
    craze = Edge("crazed", +1, mean, sd, case["families"], fall)
    shiver = Edge("shivered", -1, mean - 3.0, 1.0, case["families"], None)
    asked = [(case["families"][f], m, lot) for f, m, lot in case["asked"]]
    return {
        "craze_threshold": [craze.quantile(q) for q in (.5, .05, .95)],
        "shiver_floor": [shiver.quantile(q) for q in (.5, .05, .95)],
        "p_craze": [craze.chance(*a) for a in asked],
        "p_shiver": [shiver.chance(*a) for a in asked],
    }


def draw(rng):
    """A notebook: two of three drawn from the model, the third with counts at random."""
    from_model = rng.random() < 2 / 3
    mean, sd = rng.choice([(6.5, 1.2), (7.3, 1.0), (6.2, 0.8), (5.6, 0.7), (round(rng.uniform(4.5, 8), 2), 0.8)])
    dense = rng.random() < 0.5
    line, floor = rng.gauss(mean, sd), rng.gauss(mean - 3, 1)
    fall = max(0.0, rng.gauss(*(DENSE if dense else POROUS)))

    def count(x, kind, pieces, age, sight):
        if not from_model:
            return rng.choice([0, 0, pieces, rng.randint(0, pieces)])
        if kind == "crazed":
            chance = sight * float(ndtr((x - line - fall * (1 - fallen(age))) / W))
        else:
            chance = float(ndtr((floor - x) / W))
        return sum(rng.random() < chance for _ in range(pieces))

    def family():
        basis = rng.choice(["computed"] * 3 + ["printed", "unknown", "unknown"])
        a = 6.5 if basis == "unknown" else round(rng.uniform(3.5, 9), 3)
        e = {"computed": 0.37, "printed": 0.6, "unknown": 1.5}[basis]
        members, slopes = [[None, 0.0]], []
        if rng.random() < 0.5:
            if basis == "computed":
                slopes = [{"mean": 1.0, "sd": 0.25}]
                members += [[0, round(-0.05 * p, 3)] for p in (3, 6, 9)]
            else:
                slopes = [rng.choice([{"mean": 0.05, "sd": 0.03}, {"mean": 0.042, "sd": 0.025}])]
                members += [[0, -float(p)] for p in (3, 6, 9)]
        true, betas = rng.gauss(a, e), [max(0.0, rng.gauss(s["mean"], s["sd"])) for s in slopes]
        lots = rng.choice([1, 1, 1, 2])
        lot_shift = [rng.gauss(0, LOT) for _ in range(lots)]
        batches = []
        for _ in range(rng.choice([0, 1, 1, 2, 3, 5])):
            member, lot = rng.randrange(len(members)), rng.randrange(lots)
            x = true + Edge.moved({"members": members}, member, betas) + lot_shift[lot] + rng.gauss(0, BATCH)
            pieces = rng.choice([1, 2, 5, 5, 10, 20, 40])
            age = rng.choice([0, 1, 3, 14, 30, 60, 180, 240, 365, 700, 1095, 2000])
            sight = rng.choice([0.85, 0.85, 0.98, 0.90, 0.70])
            batches.append({
                "member": member, "lot": lot, "age": age, "pieces": pieces, "sight": sight,
                "crazed": None if rng.random() < .1 else count(x, "crazed", pieces, age, sight),
                "shivered": None if rng.random() < .4 else count(x, "shivered", pieces, age, sight),
                "batch": rng.choice([None, None, None, "1"]),
            })
        return {"basis": basis, "a": a, "e": e, "members": members, "slopes": slopes, "batches": batches}

    families = [family() for _ in range(rng.choice([1, 1, 2, 3, 4]))]
    asked = []
    for index, made in enumerate(families):
        asked.append([index, rng.randrange(len(made["members"])), rng.randrange(3)])
    return {"drawn": "from the model" if from_model else "at random", "prior": [mean, sd], "dense": dense,
            "families": families, "asked": asked}


def figures():
    def powder(batches, lots=1):
        return {"a": 6.5, "e": 1.5, "members": [[None, 0.0]], "slopes": [], "batches": batches}

    def batch(crazed, pieces, age):
        return {"member": 0, "lot": 0, "age": age, "pieces": pieces, "sight": 0.85, "crazed": crazed,
                "shivered": None, "batch": None}

    for words, batches, lot in [
        ("nothing seen", [], 0), ("0 of 5 at 1 day", [batch(0, 5, 1)], 0), ("at 30 days", [batch(0, 5, 30)], 0),
        ("at 180 days", [batch(0, 5, 180)], 0), ("at three years", [batch(0, 5, 1095)], 0),
        ("four of 0/5 at 30", [batch(0, 5, 30)] * 4, 0), ("sixteen", [batch(0, 5, 30)] * 16, 0),
        ("four at a year", [batch(0, 5, 365)] * 4, 0), ("5 of 20 at two years", [batch(5, 20, 730)], 0),
        ("1 of 20 at 30", [batch(1, 20, 30)], 0), ("second lot", [batch(0, 6, 1095)] * 4, 1),
    ]:
        made = powder(batches)
        edges = [Edge("crazed", 1, 6.5, 1.2, [made], fall) for fall in (POROUS, DENSE)]
        print(words, [round(edge.chance(made, 0, lot), 4) for edge in edges])


if __name__ == "__main__":
    if sys.argv[1:] == ["figures"]:
        figures()
        sys.exit()
    count, seed = (int(word) for word in sys.argv[1:3]) if len(sys.argv) == 3 else (24, 20261128)
    rng = random.Random(seed)
    cases = [draw(rng) for _ in range(count)]
    for case in cases:
        case["outside"] = work_out(case)
    print(json.dumps({
        "source": "worked outside with numpy 2.4.6 and scipy 1.17.1, tests/peers/window/falling_line.py",
        "cases": cases,
    }))
