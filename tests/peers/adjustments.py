#!/usr/bin/env python3
"""Adjustments worked outside: recipes with additions, aims on oxides, ratios, sums and
materials, drawn at random; each programme written out anew in numpy.

usage: python adjustments.py [--seed N] [--count N] [--sure] [--cases FILE.json]

Plain: solved with quadprog; possible or not by HiGHS (scipy). --sure: each aim must hold
with 90 %, a second-order cone an aim, solved with ECOS (cvxpy); then 4,000 draws of the sheets.
Compared with `adjust` through the example `adjust_times`; --cases writes the file it reads.

Least change, in the words of the engine's own page: the target is the old unity formula with
each oxide that an aim names by itself at the nearest value allowed; a material that is the
only allowed source (5 wt %) of an oxide names it through its own aim; named fluxes leave the
rest to the other fluxes in proportion, or to those that named newcomers bring. Minimised is
the sum of squared misses over tolerances plus 0.01 times that of the weights moved in steps.
"""
import argparse
import json
import pathlib
import random
import re
import subprocess
import tempfile

import numpy as np
import quadprog
from scipy.optimize import linprog
from scipy.stats import norm

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
FLUX = ["Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO"]
ALKALI = ["Li2O", "Na2O", "K2O"]
CLASSES = [("Na2O", "K2O"), ("SrO", "BaO")]

# kind, loss on ignition, wt % as supplied; generic minerals with typical figures, from memory,
# each jittered in a draw; the frits are invented.
SHEETS = {
    "potash spar": ("mineral", 0.4, "SiO2 66.5 Al2O3 18.2 K2O 10.9 Na2O 3.1 CaO 0.4 Fe2O3 0.1"),
    "soda spar": ("mineral", 0.4, "SiO2 68.1 Al2O3 19.4 K2O 0.6 Na2O 10.6 CaO 0.7 Fe2O3 0.07"),
    "nepheline rock": ("mineral", 0.6, "SiO2 60.3 Al2O3 23.3 K2O 4.9 Na2O 10.1 CaO 0.5 Fe2O3 0.1"),
    "flint": ("mineral", 0.2, "SiO2 99.2 Al2O3 0.3 Fe2O3 0.03"),
    "chalk": ("mineral", 43.4, "CaO 55.2 MgO 0.4 SiO2 0.7"),
    "dolomite": ("mineral", 46.8, "CaO 30.6 MgO 21.3 SiO2 0.9"),
    "talc": ("mineral", 5.8, "SiO2 61.1 Al2O3 0.8 MgO 31.3 CaO 0.5 Fe2O3 0.4"),
    "wollastonite": ("mineral", 1.0, "SiO2 51.0 CaO 46.5 MgO 0.6 Al2O3 0.6 Fe2O3 0.2"),
    "china clay": ("clay", 12.9, "SiO2 46.8 Al2O3 37.2 K2O 1.4 MgO 0.2 Fe2O3 0.7 TiO2 0.1"),
    "ball clay": ("clay", 10.2, "SiO2 55.4 Al2O3 28.3 K2O 2.3 Na2O 0.3 MgO 0.4 CaO 0.2 Fe2O3 1.0 TiO2 1.3"),
    "red clay": ("clay", 8.3, "SiO2 59.0 Al2O3 19.5 K2O 3.2 Na2O 0.5 MgO 1.6 CaO 0.9 Fe2O3 6.2 TiO2 0.9"),
    "soft frit": ("frit", 0, "SiO2 53.0 Al2O3 7.0 B2O3 19.5 CaO 12.0 Na2O 8.5"),
    "lime frit": ("frit", 0, "SiO2 49.0 Al2O3 11.5 B2O3 22.5 CaO 17.0"),
    "strontium carbonate": ("chemical", 29.8, "SrO 69.6 BaO 0.4"),
    "zinc oxide": ("chemical", 0.2, "ZnO 99.5"),
    "spodumene": ("mineral", 0.5, "SiO2 64.0 Al2O3 26.8 Li2O 7.3 Na2O 0.3 K2O 0.2 Fe2O3 0.1"),
    "red iron oxide": ("colourant", 0.5, "Fe2O3 96.8 SiO2 1.6"),
    "rutile": ("colourant", 0, "TiO2 95.0 Fe2O3 2.0 SiO2 1.0"),
    "tin oxide": ("colourant", 0, "SnO2 99.5"),
    "copper carbonate": ("colourant", 28.0, "CuO 71.5"),
    "cobalt carbonate": ("colourant", 33.0, "CoO 62.5"),
}
ON_TOP = [name for name, sheet in SHEETS.items() if sheet[0] == "colourant"]
BASES = [name for name in SHEETS if name not in ON_TOP]
CLAYS = [name for name, sheet in SHEETS.items() if sheet[0] == "clay"]
DEVIATION = {"SiO2": 0.6, "Al2O3": 0.4, "K2O": 0.25, "Na2O": 0.2, "CaO": 0.3, "MgO": 0.25, "B2O3": 0.4}


def masses():
    text = (ROOT / "tests/data/oxide_molar_masses.yaml").read_text()
    found = re.findall(r"(\w+O\d*)\D*?\W(\d+\.\d+)", text)
    return {name: float(mass) for name, mass in reversed(found)}


MASS = masses()
OXIDES = sorted({oxide for sheet in SHEETS.values() for oxide in sheet[2].split()[::2]})
KEY = {oxide: place for place, oxide in enumerate(OXIDES)}


def draw_sheets(rng):
    sheets = {}
    for name, (kind, loss, text) in SHEETS.items():
        words = text.split()
        analysis = {o: round(float(v) * rng.uniform(0.97, 1.03), 2) for o, v in zip(words[::2], words[1::2])}
        sheets[name] = {"kind": kind, "loss_on_ignition": loss, "analysis": analysis}
    return sheets


def draw_tolerance(sheets):
    """One standard deviation in wt %; every third sheet states none."""
    some = [name for place, name in enumerate(sheets) if place % 3]
    stated = {n: {o: DEVIATION[o] for o in sheets[n]["analysis"] if o in DEVIATION} for n in some}
    return {name: own for name, own in stated.items() if own}


class Chemistry:
    """Moles per gram of each material, and what names of aims mean."""

    def __init__(self, sheets):
        self.sheets = sheets
        self.moles = {}
        for name, sheet in sheets.items():
            self.moles[name] = np.zeros(len(OXIDES))
            for oxide, percent in sheet["analysis"].items():
                self.moles[name][KEY[oxide]] = percent / 100 / MASS[oxide]

    def pick(self, oxides):
        return np.array([1.0 if oxide in oxides else 0.0 for oxide in OXIDES])

    def sum(self, text):
        picked = np.zeros(len(OXIDES))
        for term in text.split("+"):
            term = term.strip()
            of = {"R2O": ALKALI, "RO": [f for f in FLUX if f not in ALKALI]}.get(term, [term])
            picked += self.pick(of)
        return picked

    def unity(self, parts, additions):
        moles = sum(p * self.moles[n] for n, p in [*parts.items(), *additions.items()])
        return moles / (moles @ self.pick(FLUX))


def read_aim(aim):
    """Name, low, high; shares of materials in per cent."""
    if " in " in aim:
        name, ends = aim.split(" in ")
        low, high = ends.rstrip(" %").split("..")
        return name.strip(), float(low), float(high)
    if aim.startswith("no "):
        return aim[3:], None, 0.0
    sign = ">=" if ">=" in aim else "<="
    name, bound = aim.split(sign)
    bound = float(bound.rstrip(" %"))
    return name.strip(), bound if sign == ">=" else None, bound if sign == "<=" else None


class Programme:
    """One adjustment as matrices: columns are base parts, additions, newcomers."""

    def __init__(self, case, chemistry):
        self.case, self.c = case, chemistry
        parts, additions = case["parts"], case["additions"]
        self.names, self.base, self.x0 = [], [], []
        coloured = any(name in ON_TOP for name in parts)
        for name, amount, base in (
            [(n, 100 * a / sum(parts.values()), True) for n, a in parts.items()]
            + [(n, a, False) for n, a in additions.items()]
            + [(n, 0.0, coloured or n not in ON_TOP) for n in case["with"] if n not in [*parts, *additions]]
        ):
            self.names.append(name), self.base.append(1.0 if base else 0.0), self.x0.append(amount)
        self.base, self.x0 = np.array(self.base), np.array(self.x0)
        self.M = np.array([chemistry.moles[name] for name in self.names]).T
        self.old = self.M @ self.x0
        self.scale = 1 / (self.old @ chemistry.pick(FLUX))
        self.unity = self.old * self.scale
        self.aims = [read_aim(aim) for aim in case["aims"]]
        self.rows_of_aims()
        self.objective_of_target()

    def share_of(self, name):
        if name == "raw clay":
            return np.array([100.0 * b * (n in CLAYS) for n, b in zip(self.names, self.base)])
        return np.array([100.0 * (n == name) for n in self.names])

    def rows_of_aims(self):
        """Rows >= 0, each with the oxides' weights that vary with the sheets."""
        self.rows, self.weights, self.of_aim = [], [], []
        flux = self.c.pick(FLUX)
        for number, (name, low, high) in enumerate(self.aims):
            share = name == "raw clay" or name in SHEETS
            for bound, sign in ((low, 1.0), (high, -1.0)):
                if bound is None:
                    continue
                if share:
                    row, weight = self.share_of(name) - bound * self.base, np.zeros(len(OXIDES))
                else:
                    above, _, below = name.partition(":")
                    weight = self.c.sum(above) - bound * (self.c.sum(below) if below else flux)
                    row = self.M.T @ weight
                self.rows.append(sign * row), self.weights.append(sign * weight), self.of_aim.append(number)
        self.rows, self.weights = np.array(self.rows), np.array(self.weights)

    def nearest(self, value, low, high):
        value = value if low is None else max(value, low)
        return value if high is None else min(value, high)

    def sources(self, name, oxide):
        return self.c.sheets[name]["analysis"].get(oxide, 0) >= 5

    def named(self):
        named = {}
        for name, low, high in self.aims:
            if name in KEY:
                named[name] = self.nearest(named.get(name, self.unity[KEY[name]]), low, high)
        for name, low, high in self.aims:
            if name not in SHEETS:
                continue
            now = float(self.x0 @ (self.share_of(name) / 100))
            wanted = self.nearest(now, low, high)
            if wanted == now or name not in self.names:
                continue
            place = self.names.index(name)
            x = self.x0.copy()
            if self.base[place]:
                rest = (self.base * x).sum() - x[place]
                x = np.where(self.base > 0, x * (100 - wanted) / rest, x)
            x[place] = wanted
            moles = self.M @ x
            for oxide in OXIDES:
                only = self.sources(name, oxide) and not any(self.sources(n, oxide) for n in self.names if n != name)
                if only and oxide not in named:
                    named[oxide] = moles[KEY[oxide]] / (moles @ self.c.pick(FLUX))
        return named

    def objective_of_target(self):
        named = self.named()
        target = {o: self.unity[KEY[o]] for o in OXIDES}
        target.update(named)
        together = None
        asked = sum(v for o, v in named.items() if o in FLUX)
        if any(o in FLUX for o in named):
            others = [o for o in FLUX if o in KEY and o not in named]
            brought = [o for o in others if any(self.sources(n, o) for n in self.case["with"])]
            if brought:
                kept = sum(self.unity[KEY[o]] for o in others if o not in brought)
                together = (brought, max(0.0, 1 - asked - kept))
            else:
                rest = sum(self.unity[KEY[o]] for o in others)
                if asked < 1 and rest > 0:
                    target.update({o: self.unity[KEY[o]] * (1 - asked) / rest for o in others})
        A, b = [], []

        def row(oxides, wanted, tolerance):
            A.append(self.c.pick(oxides) @ self.M * self.scale / tolerance), b.append(wanted / tolerance)

        def out(oxides):
            return together and any(o in together[0] for o in oxides)

        for oxide in OXIDES:
            value, both = target[oxide], next((c for c in CLASSES if oxide in c), None)
            if out([oxide]):
                continue
            if both:
                tolerance = 0.1 * sum(target.get(o, 0) for o in both) + 0.005
            elif oxide in ("CoO", "CuO", "Cr2O3", "NiO", "V2O5"):
                tolerance = 0.05 * value + 0.0005
            elif oxide in ("TiO2", "MnO"):
                tolerance = 0.05 * value + 0.004
            elif oxide in ("P2O5", "ZrO2", "SnO2"):
                tolerance = 0.05 * value + 0.003
            else:
                tolerance = 0.05 * value + 0.002 if oxide == "Fe2O3" else 0.02 * value + 0.002
            row([oxide], value, tolerance)
        for both in CLASSES:
            if not out(both):
                value = sum(target.get(o, 0) for o in both)
                row(both, value, 0.02 * value + 0.002)
        if together:
            row(together[0], together[1], 0.02 * together[1] + 0.002)
        row(FLUX, 1.0, 0.01)
        self.A, self.b = np.array(A), np.array(b)
        self.steps = np.maximum(0.1 * self.x0, np.where(self.base > 0, 1.0, 0.1))
        self.H = 2 * (self.A.T @ self.A + np.diag(0.01 / self.steps**2))
        self.linear = -2 * self.A.T @ self.b - 0.02 * self.x0 / self.steps**2

    def objective(self, x):
        return ((self.A @ x - self.b) ** 2).sum() + 0.01 * (((x - self.x0) / self.steps) ** 2).sum()

    def flux_row(self):
        """Some flux there must be, or every bound on the unity formula is met by nothing."""
        flux = self.c.pick(FLUX) @ self.M
        return flux - 1e-3 * (flux @ self.x0) / 100 * self.base

    def margin(self):
        """By how much all rows can hold at once, each row of length 1; flux 1."""
        n = len(self.names)
        unit = self.rows * self.scale
        length = np.linalg.norm(unit, axis=1, keepdims=True)
        A = np.hstack([-unit / length, np.ones((len(unit), 1))])
        flux = np.r_[self.c.pick(FLUX) @ self.M * self.scale, 0.0]
        some = np.r_[-self.base, 0.0]
        done = linprog(np.r_[np.zeros(n), -1.0], A_ub=np.vstack([A, some]), b_ub=np.r_[np.zeros(len(A)), -1e-3],
                       A_eq=[flux], b_eq=[1.0], bounds=[(0, None)] * n + [(None, 10)])
        return done.x[-1] if done.status == 0 else -np.inf

    def quadprog_call(self):
        """The same programme, variables in steps, ready to be timed."""
        S = self.steps
        H, q = self.H * S[:, None] * S, -self.linear * S
        C = np.vstack([self.flux_row() * S, self.rows * S, np.eye(len(S))]).T.copy()
        C /= np.linalg.norm(C, axis=0)
        d = np.zeros(C.shape[1])
        return lambda: quadprog.solve_qp(H, q, C, d)[0] * S

    def spread(self, row, tolerance):
        """Standard deviation of a row: a matrix whose product with x has that length."""
        lines = []
        for j, name in enumerate(self.names):
            analysis, stated = self.c.sheets[name]["analysis"], tolerance.get(name)
            for oxide, percent in analysis.items():
                sd = stated.get(oxide, 0.0) if stated else 0.01 * percent
                line = np.zeros(len(self.names))
                line[j] = self.weights[row][KEY[oxide]] * sd / 100 / MASS[oxide]
                if line[j]:
                    lines.append(line)
        return np.array(lines).reshape(-1, len(self.names))

    def sure(self, probability, tolerance):
        """Least objective where each row holds so surely, or None."""
        import cvxpy as cp

        z, S = norm.ppf(probability), self.steps
        x = cp.Variable(len(S), nonneg=True)
        holds = [(self.flux_row() * S) @ x >= 0]
        for number, row in enumerate(self.rows):
            lines = self.spread(number, tolerance) * S
            size = np.linalg.norm(row * S)
            off = z * cp.norm(lines / size @ x) if len(lines) else 0.0
            holds.append((row * S / size) @ x >= off)
        residual = cp.hstack([(self.A * S) @ x - self.b, 0.1 * (x - self.x0 / S)])
        problem = cp.Problem(cp.Minimize(cp.sum_squares(residual)), holds)
        problem.solve(solver=cp.ECOS, abstol=1e-10, reltol=1e-10, feastol=1e-10, max_iters=300)
        if x.value is None:
            return None
        # Nothing at all meets every row through the origin, and is no recipe; nor is one that
        # keeps less than a hundredth of the flux.
        flux, best = self.c.pick(FLUX) @ self.M, x.value * S
        some = self.base @ best > 0.01
        fluxed = some and flux @ best / (self.base @ best) > 0.01 * (flux @ self.x0) / (self.base @ self.x0)
        return (problem.value, best) if fluxed else None


def draw_aim(rng, case, unity):
    """One aim near what the old glaze has."""
    kind = rng.random()
    sure = "sure" in case
    factor = lambda: rng.uniform(0.72, 1.35)

    def bound(value):
        """Mostly one that the old glaze doesn't meet."""
        times = factor()
        sign = ">=" if (times > 1) == (rng.random() < 0.8) else "<="
        return f"{sign} {value * times:.4f}"

    if kind < 0.5:
        oxide = rng.choice([o for o in OXIDES if unity[KEY[o]] > 0.004])
        value = unity[KEY[oxide]]
        if rng.random() < 0.25 and not sure:
            times = factor()
            return f"{oxide} in {0.95 * times * value:.4f}..{1.05 * times * value:.4f}"
        return f"{oxide} {bound(value)}"
    if kind < 0.75:
        ratios = ["SiO2:Al2O3", "CaO + MgO", "R2O:RO", "K2O:Na2O", "SiO2:Al2O3", "Na2O + K2O"]
        name = rng.choice(ratios)
        of = lambda text: sum(unity[KEY[o]] for term in text.split("+") for o in
                              {"R2O": ALKALI, "RO": [f for f in FLUX if f not in ALKALI]}.get(term.strip(), [term.strip()]) if o in KEY)
        above, _, below = name.partition(":")
        value = of(above) / (of(below) if below else 1.0) if not below or of(below) else 1.0
        return f"{name} {bound(max(value, 0.01))}"
    if kind < 0.9 or sure:
        everyone = {**case["parts"], **case["additions"]}
        name = rng.choice(list(everyone))
        return f"{name} {bound(everyone[name])} %"
    clay = sum(a for n, a in case["parts"].items() if n in CLAYS) * factor()
    return f"raw clay in {max(0.0, clay - 2):.1f}..{clay + 2:.1f} %"


def draw_case(rng, chemistry, sure):
    while True:
        spars = rng.sample(["potash spar", "soda spar", "nepheline rock", "soft frit", "spodumene"], rng.choice([1, 1, 2]))
        limes = rng.sample(["chalk", "dolomite", "wollastonite", "talc", "zinc oxide", "strontium carbonate"], rng.choice([1, 1, 2]))
        clays = rng.sample(CLAYS, rng.choice([1, 1, 1, 2]))
        names = ["flint", *spars, *limes, *clays]
        weights = [rng.uniform(5, 40) for _ in names]
        parts = {n: round(100 * w / sum(weights), 1) for n, w in zip(names, weights)}
        on_top = {"red iron oxide": (0.5, 8), "rutile": (1, 6), "tin oxide": (2, 8), "copper carbonate": (0.5, 4), "cobalt carbonate": (0.2, 2)}
        tops = rng.sample(list(on_top), rng.choice([0, 1, 1, 2]))
        additions = {n: round(rng.uniform(*on_top[n]), 1) for n in tops}
        newcomers = rng.sample([n for n in SHEETS if n not in parts and n not in additions], rng.choice([0, 0, 1, 2]))
        case = {"parts": parts, "additions": additions, "with": newcomers}
        if sure:
            case["sure"] = 0.9
        unity = chemistry.unity(parts, {n: a * sum(parts.values()) / 100 for n, a in additions.items()})
        if 1.0 < unity[KEY["SiO2"]] < 8:
            break
    aims = [draw_aim(rng, case, unity) for _ in range(rng.choice([1, 2, 2, 3, 4]))]
    names = [read_aim(aim)[0] for aim in aims]
    case["aims"] = [aim for place, aim in enumerate(aims) if names.index(names[place]) == place]
    return case


def draw(seed, count, sure=False):
    rng = random.Random(seed)
    sheets = draw_sheets(rng)
    file = {"materials": sheets, "cases": []}
    if sure:
        file["tolerance"] = draw_tolerance(sheets)
    chemistry = Chemistry(sheets)
    while len(file["cases"]) < count:
        file["cases"].append(draw_case(rng, chemistry, sure))
    return file


def ours(file, path=None):
    with tempfile.TemporaryDirectory() as folder:
        path = path or pathlib.Path(folder) / "cases.json"
        path.write_text(json.dumps(file, indent=1))
        command = ["cargo", "run", "--release", "-q", "-p", "glost-core", "--example", "adjust_times", "--", str(path)]
        out = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    return [json.loads(line) for line in out.stdout.splitlines()]


def point(programme, answer):
    """Our recipe as a point at the scale that makes the objective least."""
    given = {**answer["parts"], **answer["additions"]}
    x = np.array([given.get(name, 0.0) for name in programme.names])
    rows = np.r_[programme.A @ x, 0.1 * x / programme.steps]
    wanted = np.r_[programme.b, 0.1 * programme.x0 / programme.steps]
    return x * (rows @ wanted) / (rows @ rows)


def worst_miss(programme, x):
    """Of the aims as ratios, in the unit of the bound over 1 + bound."""
    moles, worst = programme.M @ x, 0.0
    for (name, low, high) in programme.aims:
        if name == "raw clay" or name in SHEETS:
            value = programme.share_of(name) @ x / (programme.base @ x)
        else:
            above, _, below = name.partition(":")
            value = (programme.c.sum(above) @ moles) / ((programme.c.sum(below) if below else programme.c.pick(FLUX)) @ moles)
        for bound, sign in ((low, 1), (high, -1)):
            if bound is not None:
                worst = max(worst, sign * (bound - value) / (1 + abs(bound)))
    return worst


def compare_plain(file, answers, chemistry):
    figures = {"possible": 0, "impossible": 0, "refused": 0, "edge": 0, "unlike": []}
    worst_objective = worst_aim = 0.0
    times, theirs = [], []
    for number, (case, answer) in enumerate(zip(file["cases"], answers)):
        programme = Programme(case, chemistry)
        margin = programme.margin()
        if abs(margin) < 1e-6:
            figures["edge"] += 1
            continue
        if "trouble" in answer:
            figures["refused"] += 1
            if margin > 0:
                figures["unlike"].append((number, case["aims"], answer["trouble"], margin))
            continue
        if answer["possible"] != (margin > 0):
            figures["unlike"].append((number, case["aims"], answer, margin))
            continue
        if margin < 0:
            figures["impossible"] += 1
            continue
        figures["possible"] += 1
        best = programme.quadprog_call()()
        x = point(programme, answer)
        least, own = programme.objective(best), programme.objective(x)
        off = max(own - least, abs(answer["objective"] - least)) / (1 + least)
        if off > 1e-4:
            figures["unlike"].append((number, case["aims"], own, answer["objective"], least))
        worst_objective, worst_aim = max(worst_objective, off), max(worst_aim, worst_miss(programme, x))
        times.append(answer["micros"])
    print(figures)
    print(f"objective off by at most {worst_objective:.2e} (of 1 + it), aims missed by at most {worst_aim:.2e}; "
          f"median time {np.median(times):.1f} us, 90 % {np.quantile(times, 0.9):.1f} us")


def held(programme, answer, tolerance, draws=4000):
    """The least share of draws in which one aim holds."""
    rng = np.random.default_rng(7)
    given = {**answer["parts"], **answer["additions"]}
    x = np.array([given.get(name, 0.0) for name in programme.names])
    values = np.zeros((draws, len(programme.rows)))
    for j, name in enumerate(programme.names):
        analysis, stated = programme.c.sheets[name]["analysis"], tolerance.get(name)
        drawn = np.zeros((draws, len(OXIDES)))
        for oxide, percent in analysis.items():
            sd = stated.get(oxide, 0.0) if stated else 0.01 * percent
            drawn[:, KEY[oxide]] = np.maximum(0, percent + sd * rng.standard_normal(draws)) / 100 / MASS[oxide]
        values += x[j] * drawn @ programme.weights.T
    share = [not w.any() for w in programme.weights]
    return min((1.0 if fixed else (values[:, i] >= 0).mean()) for i, fixed in enumerate(share))


def compare_sure(file, answers, chemistry):
    figures = {"possible": 0, "impossible": 0, "refused": 0, "unlike": []}
    off, least_held, times = [], [], []
    for number, (case, answer) in enumerate(zip(file["cases"], answers)):
        programme = Programme(case, chemistry)
        if "trouble" in answer:
            figures["refused"] += 1
            continue
        outside = programme.sure(case["sure"], file["tolerance"]) if programme.margin() > 1e-6 else None
        times.append(answer["micros"])
        if answer["possible"] != (outside is not None):
            figures["unlike"].append((number, case["aims"], answer, outside and outside[0]))
            continue
        figures["possible" if outside else "impossible"] += 1
        if outside:
            off.append(abs(answer["objective"] - outside[0]) / (1 + outside[0]))
            least_held.append(held(programme, answer, file["tolerance"]))
            if off[-1] > 1e-3 or least_held[-1] < 0.885:
                figures["unlike"].append((number, case["aims"], answer["objective"], outside[0], least_held[-1]))
    print(figures)
    print(f"objective off by at most {max(off):.2e} (of 1 + it); each aim held in {min(least_held):.4f} of the draws at "
          f"least; median time {np.median(times) / 1e3:.2f} ms, 90 % {np.quantile(times, 0.9) / 1e3:.2f} ms, most {max(times) / 1e3:.2f} ms")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--seed", type=int, default=20261129)
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--sure", action="store_true")
    parser.add_argument("--cases", type=pathlib.Path)
    options = parser.parse_args()
    file = draw(options.seed, options.count, options.sure)
    answers = ours(file, options.cases)
    chemistry = Chemistry(file["materials"])
    (compare_sure if options.sure else compare_plain)(file, answers, chemistry)


if __name__ == "__main__":
    main()
