"""Makes ../data/mixture_fits.json: mixture models fitted by numpy's least squares.

Random tiles (designs with repeats, shares rounded to two or three decimals, shares of a
narrow region), fitted with numpy.linalg.lstsq; standard errors from the inverse of X'X;
left-out errors by fitting again without each tile. Run: python mixtures.py
"""

import itertools
import json
import pathlib

import numpy as np


def columns(shares, model):
    ends = range(shares.shape[1])
    order = {"linear": 1, "quadratic": 2, "special-cubic": 3}[model]
    made = []
    for size in range(1, order + 1):
        for chosen in itertools.combinations(ends, size):
            made.append(np.prod(shares[:, chosen], axis=1))
    return np.array(made).T


def fitted(shares, y, model):
    x = columns(shares, model)
    count, terms = x.shape
    coefficients, _, rank, _ = np.linalg.lstsq(x, y, rcond=None)
    assert rank == terms
    left = y - x @ coefficients
    rss = float(left @ left)
    errors = np.sqrt(rss / (count - terms) * np.diag(np.linalg.inv(x.T @ x)))
    out = []
    for row in range(count):
        keep = np.arange(count) != row
        part = np.linalg.lstsq(x[keep], y[keep], rcond=None)[0]
        out.append(y[row] - x[row] @ part)
    return {
        "coefficients": coefficients.tolist(),
        "standard_errors": errors.tolist(),
        "residual_sum_of_squares": rss,
        "r_squared": 1 - rss / float(((y - y.mean()) ** 2).sum()),
        "leave_one_out_error": float(np.sqrt(np.mean(np.square(out)))),
    }


def main():
    rng = np.random.default_rng(7)
    sets = []
    for ends, model, count, kind in [
        (2, "linear", 6, "even"),
        (2, "quadratic", 9, "rounded"),
        (3, "linear", 8, "even"),
        (3, "quadratic", 12, "even"),
        (3, "quadratic", 14, "rounded"),
        (3, "quadratic", 20, "narrow"),
        (3, "special-cubic", 16, "even"),
        (3, "special-cubic", 24, "rounded"),
        (4, "quadratic", 20, "even"),
        (4, "special-cubic", 30, "rounded"),
        (5, "linear", 12, "rounded"),
        (5, "quadratic", 40, "narrow"),
    ]:
        shares = rng.dirichlet(np.full(ends, 0.7), size=count)
        if kind == "narrow":
            shares = 0.7 / ends + 0.3 * shares
        shares[-2:] = shares[:2]
        shares = np.round(shares, 2 if kind == "rounded" else 12)
        x = columns(shares, model)
        y = np.round(x @ rng.normal(5, 10, x.shape[1]) + rng.normal(0, 0.5, count), 3)
        sets.append({"ends": ends, "model": model, "shares": shares.tolist(), "y": y.tolist(), **fitted(shares, y, model)})
    about = f"numpy {np.__version__} linalg.lstsq on random tiles, made by tests/peers/mixtures.py"
    place = pathlib.Path(__file__).parent.parent / "data" / "mixture_fits.json"
    place.write_text(json.dumps({"source": about, "sets": sets}, indent=1) + "\n")


main()
