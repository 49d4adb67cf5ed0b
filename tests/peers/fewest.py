"""Makes ../data/fewest.json: the fewest materials of small invented studios, every set tried.

The chemistry distance is written out anew from its rules; for each glaze and each set the
nearest recipe is a non-negative fit (scipy.optimize.nnls), with the raw clay in its band a
quadratic programme (quadprog). A studio in which some set lies within 0.001 of the bound is
drawn again: rounding would decide there. Run: python fewest.py
"""

import itertools
import json
import pathlib

import numpy as np
import quadprog
from scipy.optimize import nnls

# g/mol, summed from the CIAAW standard atomic weights 2021.
MOLAR = {"SiO2": 60.083, "Al2O3": 101.960, "B2O3": 69.617, "Na2O": 61.979, "K2O": 94.195, "MgO": 40.304,
         "CaO": 56.077, "Fe2O3": 159.687}
FLUXES = ["Na2O", "K2O", "MgO", "CaO"]
# Invented sheets, wt % as supplied; the rest is loss.
SHEETS = {
    "soda spar": ("mineral", {"SiO2": 68.4, "Al2O3": 19.2, "Na2O": 10.1, "K2O": 1.2, "CaO": 0.6, "Fe2O3": 0.1}),
    "potash spar": ("mineral", {"SiO2": 66.1, "Al2O3": 18.3, "K2O": 11.2, "Na2O": 2.9, "CaO": 0.3, "Fe2O3": 0.08}),
    "mixed spar": ("mineral", {"SiO2": 67.2, "Al2O3": 18.8, "K2O": 7.1, "Na2O": 5.9, "CaO": 0.5, "Fe2O3": 0.1}),
    "quartz": ("mineral", {"SiO2": 99.5, "Al2O3": 0.2, "Fe2O3": 0.03}),
    "whiting": ("mineral", {"CaO": 55.2, "MgO": 0.4, "SiO2": 0.6, "Fe2O3": 0.05}),
    "wollastonite": ("mineral", {"SiO2": 51.2, "CaO": 46.4, "Al2O3": 0.4, "MgO": 0.4, "Fe2O3": 0.15}),
    "dolomite": ("mineral", {"CaO": 30.3, "MgO": 21.2, "SiO2": 0.7}),
    "talc": ("mineral", {"SiO2": 61.0, "MgO": 31.4, "CaO": 0.5, "Al2O3": 0.9, "Fe2O3": 0.4}),
    "kaolin": ("clay", {"SiO2": 47.2, "Al2O3": 37.4, "K2O": 0.9, "Fe2O3": 0.4}),
    "ball clay": ("clay", {"SiO2": 55.0, "Al2O3": 29.6, "K2O": 2.1, "Fe2O3": 1.0, "MgO": 0.3}),
    "calcined clay": ("mineral", {"SiO2": 54.3, "Al2O3": 43.6, "K2O": 1.0, "Fe2O3": 0.5}),
    "boron frit": ("frit", {"SiO2": 50.1, "B2O3": 19.8, "Al2O3": 7.6, "CaO": 12.9, "Na2O": 9.4}),
    "soft frit": ("frit", {"SiO2": 45.2, "B2O3": 25.6, "Al2O3": 5.1, "CaO": 16.7, "Na2O": 7.2}),
}
ALWAYS = ["quartz", "kaolin", "whiting"]


def tolerance(oxide, moles):
    if oxide in ("Na2O", "K2O"):
        return None
    return 0.05 * moles + 0.002 if oxide == "Fe2O3" else 0.02 * moles + 0.002


def rows(moles, target):
    alkali = target.get("Na2O", 0) + target.get("K2O", 0)
    out = []
    for oxide in MOLAR:
        own = tolerance(oxide, target.get(oxide, 0))
        out.append(moles.get(oxide, 0) / (0.10 * alkali + 0.005 if own is None else own))
    out.append((moles.get("Na2O", 0) + moles.get("K2O", 0)) / (0.02 * alkali + 0.002))
    out.append(sum(moles.get(oxide, 0) for oxide in FLUXES) / 0.01)
    return np.array(out)


def moles_of(sheet):
    return {oxide: percent / MOLAR[oxide] / 100 for oxide, percent in sheet.items()}


def mixed(parts, sheets):
    total = {}
    for name, part in parts.items():
        for oxide, moles in moles_of(sheets[name][1]).items():
            total[oxide] = total.get(oxide, 0) + part * moles
    flux = sum(total.get(oxide, 0) for oxide in FLUXES)
    return {oxide: moles / flux for oxide, moles in total.items()}


def band_of(parts, sheets):
    clay = sum(part for name, part in parts.items() if sheets[name][0] == "clay")
    return max(min(clay, max(8, clay / 2)) - 1.5, 0), max(clay + 8, 25) + 1.5


def distance(glaze, names, sheets, banded):
    target = mixed(glaze, sheets)
    b = rows(target, target)
    a = np.array([rows(moles_of(sheets[name][1]), target) for name in names]).T
    x, off = nnls(a, b, maxiter=10000)
    if not banded or x.sum() <= 0:
        return off
    clay = np.array([1.0 if sheets[name][0] == "clay" else 0.0 for name in names])
    low, high = band_of(glaze, sheets)
    share = 100 * clay @ x / x.sum()
    if low - 1e-6 <= share <= high + 1e-6 or off > 1e3:
        return off
    scale = np.linalg.norm(a, axis=0)
    u = a / scale
    if (low > 0 and not clay.any()) or clay.all():
        return np.inf
    g = u.T @ u + 1e-11 * np.eye(len(names))
    limits = np.vstack([np.eye(len(names)), (clay - low / 100) / scale, (high / 100 - clay) / scale]).T
    y = quadprog.solve_qp(g, u.T @ b, limits, np.zeros(limits.shape[1]))[0]
    return float(np.linalg.norm(u @ y - b))


def least(glazes, names, sheets, within, banded):
    """Every least set; None where some distance is too close to the bound."""
    near = {}
    for size in range(1, len(names) + 1):
        found = []
        for chosen in itertools.combinations(names, size):
            good = True
            for index, glaze in enumerate(glazes):
                own = set(glaze) <= set(chosen)
                key = (index, chosen)
                if key not in near:
                    near[key] = 0.0 if own else distance(glaze, list(chosen), sheets, banded)
                if abs(near[key] - within) < 1e-3:
                    return None
                if near[key] > within:
                    good = False
                    break
            if good:
                found.append(sorted(chosen))
        if found:
            return size, found


def studio(random):
    sheets = {}
    others = [name for name in SHEETS if name not in ALWAYS]
    count = int(random.integers(5, 8))
    names = ALWAYS + [str(name) for name in random.choice(others, count, replace=False)]
    for name in names:
        kind, sheet = SHEETS[name]
        moved = {oxide: round(float(p * random.normal(1, 0.02)), 2) for oxide, p in sheet.items()}
        excess = max(sum(moved.values()) - 99.9, 0)
        main = max(moved, key=moved.get)
        moved[main] = round(moved[main] - excess, 2)
        sheets[name] = (kind, moved)
    glazes = []
    for _ in range(int(random.integers(3, 6))):
        fluxed = [n for n in names if n not in ("quartz", "kaolin", "ball clay", "calcined clay")]
        own = ["quartz", str(random.choice([n for n in names if sheets[n][0] == "clay"]))]
        own += [str(n) for n in random.choice(fluxed, min(int(random.integers(2, 4)), len(fluxed)), replace=False)]
        weights = random.integers(5, 40, len(own))
        weights[1] = random.integers(6, 20)
        share = 100 * weights / weights.sum()
        parts = {name: round(float(part), 1) for name, part in zip(own, share)}
        parts[own[0]] = round(parts[own[0]] + 100 - sum(parts.values()), 1)
        glazes.append(parts)
    return sheets, glazes


def main():
    random = np.random.default_rng(2031)
    cases = []
    while len(cases) < 60:
        sheets, glazes = studio(random)
        within = [2.0, 4.0, 8.0][len(cases) % 3]
        # What no glaze holds may come in as well: it is to be had.
        names = list(sheets)
        plain, banded = (least(glazes, names, sheets, within, on) for on in (False, True))
        if plain is None or banded is None:
            continue
        cases.append({
            "materials": {name: {"kind": kind, "analysis": sheet} for name, (kind, sheet) in sheets.items()},
            "glazes": glazes, "within": within,
            "fewest": plain[0], "sets": plain[1], "fewest_banded": banded[0], "sets_banded": banded[1],
        })
        print(len(cases), len(names), plain[0], len(plain[1]), banded[0], len(banded[1]))
    about = ("The fewest materials of invented studios, every set tried: chemistry distance written out anew, "
             "non-negative fits by scipy 1.17.1, raw clay in its band by quadprog 0.1.14; tests/peers/fewest.py")
    path = pathlib.Path(__file__).parent / "../data/fewest.json"
    path.write_text(json.dumps({"about": about, "cases": cases}, indent=1) + "\n")


main()
