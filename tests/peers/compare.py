#!/usr/bin/env python3
"""Times the kernels of crates/solve side by side with general-purpose solvers.

usage: python compare.py [PROBLEMS.json] [--table FILE.md]

Runs, one after the other on the same problems and with one thread:
* the example `solve_problems` and, for the same quadratic programmes without Python in
  between, the example `clarabel_times`;
* scipy, quadprog, HiGHS, Clarabel and SCIP from PyPI (requirements.txt).
The adjustments (least change of what is fired, additions among the variables, aims on
oxides, ratios, sums and materials) are drawn by adjustments.py, which writes each programme
out anew; "whole" times the call `adjust` from its aims to its answer.
A time is the best of repeated solves with matrices ready; the table shows the median over
the problems, and how many each solver solved to 1e-8 of the reference objective.
"""
import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "RAYON_NUM_THREADS"):
    os.environ[name] = "1"

import argparse
import json
import pathlib
import platform
import subprocess
import tempfile
import time

import adjustments
import clarabel
import highspy
import numpy as np
import quadprog
import scipy.sparse as sp
from pyscipopt import Model, quicksum
from scipy.optimize import nnls

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
SECONDS_PER_PROBLEM = 0.05


def best_time(call):
    """Shortest of repeated calls in microseconds, and the last result."""
    end, best, calls, result = time.perf_counter() + SECONDS_PER_PROBLEM, np.inf, 0, None
    while calls < 3 or time.perf_counter() < end:
        start = time.perf_counter()
        try:
            result = call()
        except Exception as error:  # a solver that gives up counts as not solved
            result = error
        best = min(best, time.perf_counter() - start)
        calls += 1
    return best * 1e6, result


def run_example(name, problems):
    command = ["cargo", "run", "--release", "-q", "-p", "glost-core", "--example", name, "--"]
    out = subprocess.run(command + [str(problems)], cwd=ROOT, check=True, capture_output=True, text=True)
    return {a["id"]: a for a in map(json.loads, out.stdout.splitlines())}


class Problem:
    """One problem as matrices; columns and rows in tolerance units."""

    def __init__(self, data, file):
        self.data, self.id, self.kind = data, data["id"], data["kind"]
        self.f = data["ref"].get("f")
        mass = np.array(file["molar_mass"])
        moles = (np.array([m["wt"] for m in data["materials"]]) / mass).T
        tolerance = np.array(data["tol"])
        if self.kind == "repair":
            flux = [file["oxides"].index(o) for o in file["fluxes"]]
            self.x0 = np.array(data["x0"])
            chemistry = moles / 100 / ((moles / 100 @ self.x0)[flux].sum() * tolerance[:, None])
            self.P = np.diag(1 / np.array(data["step"]) ** 2) + data["chem_weight"] * chemistry.T @ chemistry
            rows, upper = [], []
            for row, low, high in zip(np.array(data["rows"]), data["row_lo"], data["row_hi"]):
                if high is not None:
                    rows.append(row), upper.append(high)
                if low is not None:
                    rows.append(-row), upper.append(-low)
            self.A, self.b = np.array(rows), np.array(upper)
            self.feasible = data["feasible"]
            if not self.feasible:
                self.kind = "clash"
        else:
            self.A = np.ascontiguousarray(moles / tolerance[:, None])
            self.b = np.array(data["target"]) / tolerance
            self.norms = np.linalg.norm(self.A, axis=0)

    def objective(self, x):
        if self.kind == "repair":
            miss = max((self.A @ x - self.b).max(), -x.min(), abs(x.sum() - self.data["total"]) / 100)
            return 0.5 * (x - self.x0) @ self.P @ (x - self.x0) if miss <= 1e-7 else np.inf
        residual = self.A @ x - self.b
        if self.kind == "cheapest":
            within = abs(residual).max() <= 1 + 1e-7 and x.min() >= -1e-9
            return np.array([m["price"] for m in self.data["materials"]]) @ x if within else np.inf
        if x.min() < -1e-9:
            return np.inf
        return residual @ residual

    def solved(self, x):
        if not isinstance(x, np.ndarray) or not np.all(np.isfinite(x)):
            return False
        allowed = 1e-7 if self.kind == "cheapest" else 1e-8
        return self.objective(x) - self.f <= allowed * (1 + self.f)


def scipy_nnls_unit(p):
    columns = np.ascontiguousarray(p.A / p.norms)
    return lambda: nnls(columns, p.b)[0] / p.norms


def scipy_nnls(p):
    return lambda: nnls(p.A, p.b)[0]


def quadprog_qp(p):
    n, q = len(p.x0), p.P @ p.x0
    C = np.vstack([np.ones((1, n)), -p.A, np.eye(n)]).T.copy()
    d = np.r_[p.data["total"], -p.b, np.zeros(n)]
    return lambda: quadprog.solve_qp(p.P, q, C, d, 1)[0]


def clarabel_qp(p):
    n, q = len(p.x0), -p.P @ p.x0
    P = sp.csc_matrix(np.triu(p.P))
    A = sp.csc_matrix(np.vstack([np.ones((1, n)), p.A, -np.eye(n)]))
    b = np.r_[p.data["total"], p.b, np.zeros(n)]
    cones = [clarabel.ZeroConeT(1), clarabel.NonnegativeConeT(len(p.b) + n)]

    def call():
        settings = clarabel.DefaultSettings()
        settings.verbose = False
        solution = clarabel.DefaultSolver(P, q, A, b, cones, settings).solve()
        return None if "Infeasible" in str(solution.status) else np.array(solution.x)

    return call


def highs_model(A, low, high, cost):
    n = A.shape[1]
    model = highspy.HighsLp()
    model.num_col_, model.num_row_, model.col_cost_ = n, A.shape[0], cost
    model.col_lower_, model.col_upper_ = np.zeros(n), np.full(n, highspy.kHighsInf)
    model.row_lower_, model.row_upper_ = low, high
    columns = sp.csc_matrix(A)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_ = columns.indptr, columns.indices
    model.a_matrix_.value_ = columns.data
    return model


def highs(model):
    def call():
        solver = highspy.Highs()
        solver.setOptionValue("output_flag", False)
        solver.setOptionValue("threads", 1)
        solver.passModel(model)
        solver.run()
        if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
            return None
        return np.array(solver.getSolution().col_value)

    return call


def highs_lp(p):
    return highs(highs_model(p.A, p.b - 1, p.b + 1, np.array([m["price"] for m in p.data["materials"]])))


def highs_clash(p):
    n = len(p.x0)
    A = np.vstack([np.ones((1, n)), p.A])
    low, high = np.r_[p.data["total"], np.full(len(p.b), -highspy.kHighsInf)], np.r_[p.data["total"], p.b]
    return highs(highs_model(A, low, high, np.zeros(n)))


def scip_subset(p):
    """Mixed-integer programme with switches; the chosen subset is then solved by nnls."""
    length = np.linalg.norm(p.b)
    A, b = p.A / p.norms, p.b / length
    (m, n), free = A.shape, p.data["n_free"]

    def call():
        model = Model()
        model.hideOutput()
        model.setParam("limits/time", 60)
        model.setParam("limits/gap", 1e-7)
        model.setParam("parallel/maxnthreads", 1)
        x = [model.addVar(lb=0, ub=1.0) for _ in range(n)]
        on = [model.addVar(vtype="B") for _ in range(n)]
        residual = [model.addVar(lb=None) for _ in range(m)]
        bound = model.addVar(lb=0)
        for i in range(m):
            terms = [float(A[i, j]) * x[j] for j in range(n) if A[i, j] != 0]
            model.addCons(quicksum(terms) - float(b[i]) == residual[i])
        for j in range(free, n):
            model.addCons(x[j] <= on[j])
        model.addCons(quicksum(on[free:]) <= p.data["k"])
        model.addCons(quicksum(r * r for r in residual) <= bound)
        model.setObjective(bound)
        model.optimize()
        used = list(range(free)) + [j for j in range(free, n) if model.getVal(on[j]) > 0.5]
        answer = np.zeros(n)
        answer[used] = nnls(A[:, used], b)[0] * length / p.norms[used]
        return answer

    return call


def adjusted(add):
    """Adjustments that have an answer: our kernel and quadprog on the same matrices."""
    file = adjustments.draw(seed=20261129, count=120)
    chemistry = adjustments.Chemistry(file["materials"])
    drawn = {str(n): adjustments.Programme(case, chemistry) for n, case in enumerate(file["cases"])}
    drawn = {n: p for n, p in drawn.items() if p.margin() > 1e-6}
    whole = {str(a["id"]): a for a in adjustments.ours(file) if a.get("possible")}
    drawn = {n: p for n, p in drawn.items() if n in whole}
    best = {n: p.objective(p.quadprog_call()()) for n, p in drawn.items()}

    def good(n, x):
        p = drawn[n]
        unit = p.rows * p.scale
        return x is not None and (unit @ x).min() > -1e-9 and p.objective(x) - best[n] <= 1e-8 * (1 + best[n])

    with tempfile.NamedTemporaryFile("w", suffix=".json") as written:
        changes = [
            {"id": n, "kind": "change", "hessian": p.H.tolist(), "linear": p.linear.tolist(),
             "rows": [p.flux_row().tolist(), *p.rows.tolist()]}
            for n, p in drawn.items()
        ]
        json.dump({"molar_mass": [], "oxides": [], "fluxes": [], "problems": changes}, written)
        written.flush()
        found = run_example("solve_problems", written.name)
    times = [found[n]["micros"] for n in drawn]
    base = add("adjustment", len(drawn), "ours", times, sum(good(n, np.array(found[n]["x"])) for n in drawn), float(np.median(times)))
    add("adjustment", len(drawn), "ours, whole", [whole[n]["micros"] for n in drawn], len(drawn), base)
    timed = {n: best_time(p.quadprog_call()) for n, p in drawn.items()}
    add("adjustment", len(drawn), "quadprog", [t for t, _ in timed.values()], sum(good(n, x) for n, (_, x) in timed.items()), base)


PEERS = {
    "substitution": {"scipy nnls, unit columns": scipy_nnls_unit, "scipy nnls": scipy_nnls},
    "repair": {"quadprog": quadprog_qp, "Clarabel (Python)": clarabel_qp},
    "clash": {"HiGHS, detection only": highs_clash},
    "cheapest": {"HiGHS": highs_lp},
    "best_subset": {"SCIP": scip_subset},
}


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("problems", nargs="?", default=HERE / "problems.json", type=pathlib.Path)
    parser.add_argument("--table", type=pathlib.Path, help="also write the table to this file")
    options = parser.parse_args()
    path = options.problems.resolve()
    file = json.loads(path.read_text())
    problems = [Problem(p, file) for p in file["problems"]]
    ours, rust_clarabel = run_example("solve_problems", path), run_example("clarabel_times", path)
    lines = ["| problems | solver | median us | 90 % us | solved | times ours |", "|---|---|---|---|---|---|"]

    def add(kind, count, name, times, solved, base):
        median = float(np.median(times))
        tail = float(np.quantile(times, 0.9))
        lines.append(f"| {kind} ({count}) | {name} | {median:.1f} | {tail:.1f} | {solved} | {median / base:.1f} |")
        print(lines[-1], flush=True)
        return median

    print(*lines, sep="\n")
    for kind, peers in PEERS.items():
        group = [p for p in problems if p.kind == kind]
        answers = [ours[p.id] for p in group]
        if kind == "clash":
            solved = sum(a.get("infeasible", False) and bool(a["conflict"]) for a in answers)
        else:
            solved = sum(p.solved(np.array(a["x"])) for p, a in zip(group, answers))
        times = [a["micros"] for a in answers]
        name = "ours, clash explained" if kind == "clash" else "ours"
        base = add(kind, len(group), name, times, solved, float(np.median(times)))
        if kind == "repair":
            found = [rust_clarabel[p.id] for p in group]
            good = sum(p.solved(np.array(a["x"])) for p, a in zip(group, found))
            add(kind, len(group), "Clarabel (Rust)", [a["micros"] for a in found], good, base)
        for peer, build in peers.items():
            timed = [best_time(build(p)) for p in group]
            if kind == "clash":
                good = sum(x is None for _, x in timed)
            else:
                good = sum(p.solved(x) for p, (_, x) in zip(group, timed))
            add(kind, len(group), peer, [t for t, _ in timed], good, base)
    adjusted(add)
    if options.table:
        note = f"Python {platform.python_version()}, {platform.machine()}, {os.cpu_count()} cores, one thread."
        options.table.write_text("\n".join(lines) + "\n\n" + note + "\n")


if __name__ == "__main__":
    main()
