#!/usr/bin/env python3
"""Makes the outside numbers that the fit tests compare with.

Writes, beside this script:

- reference/rise_curves.csv: seeded synthetic rises, rounded to what a gauge
  shows (invented data);
- reference/scipy_fits.csv: what SciPy's curve_fit (MINPACK) makes of them;
- reference/polished_fits.csv: the same minima by Newton steps in 40 digits;
- reference/longley_exact.csv: the Longley regression in exact rational
  arithmetic, to confirm the certified values quoted in the test.

Needs numpy, scipy and mpmath; run it as
`python3 crates/statistics/tests/scipy_reference.py`. The numbers committed were
made with SciPy 1.17.1, NumPy 2.4.6 and mpmath 1.3.0.
"""

import csv
import math
from fractions import Fraction
from pathlib import Path

import mpmath
import numpy as np
from scipy.optimize import curve_fit

OUT = Path(__file__).parent / "reference"

# name, beside, constant, slope per s, height, tau s, length s, points, noise sd
CASES = [
    ("leak_and_moisture", "line", 210.0, 0.020, 160.0, 84.0, 600.0, 61, 0.8),
    ("slow_moisture", "line", 180.0, 0.015, 240.0, 260.0, 900.0, 91, 0.5),
    ("small_term_on_steep_line", "line", 300.0, 0.500, 25.0, 45.0, 600.0, 61, 1.0),
    ("moisture_only", "constant", 150.0, 0.0, 420.0, 150.0, 720.0, 49, 1.5),
    ("moisture_not_half_done", "constant", 150.0, 0.0, 900.0, 900.0, 600.0, 61, 0.6),
    ("from_zero", "nothing", 0.0, 0.0, 75.0, 33.0, 200.0, 41, 0.4),
]


def model(beside):
    """y and its gradient; the saturating term comes last, as height and rate."""

    def y(t, *p):
        base = {"line": lambda: p[0] + p[1] * t, "constant": lambda: p[0] + 0 * t, "nothing": lambda: 0 * t}
        return base[beside]() - p[-2] * np.expm1(-p[-1] * t)

    def gradient(t, *p):
        rows = {"line": [np.ones_like(t), t], "constant": [np.ones_like(t)], "nothing": []}[beside]
        return np.stack(rows + [-np.expm1(-p[-1] * t), p[-2] * t * np.exp(-p[-1] * t)], axis=1)

    return y, gradient


def fit(beside, t, p):
    """Best of several starts, so that no local minimum is taken for an answer."""
    y, gradient = model(beside)
    best = None
    for tau in (0.05, 0.15, 0.5, 1.5):
        linear = {"line": [p[0], 0.0], "constant": [p[0]], "nothing": []}[beside]
        start = [*linear, p[-1] - p[0], 1.0 / (tau * t[-1])]
        try:
            values, covariance = curve_fit(
                y, t, p, p0=start, jac=gradient, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15, maxfev=20000
            )
        except RuntimeError:
            continue
        rss = math.fsum((p - y(t, *values)) ** 2)
        if best is None or rss < best[2]:
            best = (values, np.sqrt(np.diag(covariance)), rss)
    return best


def polished(beside, t, p, values):
    """Gauss-Newton steps in 40 digits from SciPy's answer: the minimum itself."""
    mpmath.mp.dps = 40
    t, p = [mpmath.mpf(float(v)) for v in t], [mpmath.mpf(str(float(v))) for v in p]
    x = [mpmath.mpf(float(v)) for v in values]
    base = {"line": lambda a: [1, a], "constant": lambda a: [1], "nothing": lambda a: []}[beside]
    for _ in range(40):
        rise = [-mpmath.expm1(-x[-1] * a) for a in t]
        jacobian = mpmath.matrix(
            [[*base(a), r, x[-2] * a * mpmath.exp(-x[-1] * a)] for a, r in zip(t, rise)]
        )
        left = mpmath.matrix(
            [b - sum(c * d for c, d in zip(x, base(a))) - x[-2] * r for a, b, r in zip(t, p, rise)]
        )
        step = mpmath.lu_solve(jacobian.T * jacobian, jacobian.T * left)
        x = [a + b for a, b in zip(x, step)]
    return x


def curves_and_fits():
    rng = np.random.default_rng(20260314)
    with (
        open(OUT / "rise_curves.csv", "w", newline="") as curves,
        open(OUT / "scipy_fits.csv", "w", newline="") as fits,
        open(OUT / "polished_fits.csv", "w", newline="") as minima,
    ):
        curve_rows = csv.writer(curves, lineterminator="\n")
        fit_rows = csv.writer(fits, lineterminator="\n")
        curve_rows.writerow(["case", "t_s", "p_micron"])
        fit_rows.writerow(
            ["case", "beside", "constant", "slope", "height", "height_se", "rate", "rate_se", "rss"]
        )
        minimum_rows = csv.writer(minima, lineterminator="\n")
        minimum_rows.writerow(["case", "height", "rate"])
        for name, beside, constant, slope, height, tau, length, points, sd in CASES:
            t = np.linspace(0.0, length, points)
            p = constant + slope * t - height * np.expm1(-t / tau) + rng.normal(0.0, sd, points)
            t, p = np.round(t, 3), np.round(p, 1)
            curve_rows.writerows([name, f"{a:g}", f"{b:.1f}"] for a, b in zip(t, p))
            values, errors, rss = fit(beside, t, p)
            linear = [f"{v:.12e}" for v in values[:-2]]
            linear += [""] * (2 - len(linear))
            ends = [values[-2], errors[-2], values[-1], errors[-1], rss]
            fit_rows.writerow([name, beside, *linear, *[f"{v:.12e}" for v in ends]])
            minimum = polished(beside, t, p, values)
            minimum_rows.writerow([name, *[mpmath.nstr(v, 16) for v in minimum[-2:]]])


# J. W. Longley, JASA 62 (1967) 819-841; public domain.
LONGLEY = """
60323 83.0 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99.0 365385 1870 3547 115094 1953
63761 100.0 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962
"""


def solve(matrix, right):
    """Gauss-Jordan with exact fractions."""
    rows = [row[:] + [b] for row, b in zip(matrix, right)]
    size = len(rows)
    for i in range(size):
        pivot = next(r for r in range(i, size) if rows[r][i] != 0)
        rows[i], rows[pivot] = rows[pivot], rows[i]
        rows[i] = [v / rows[i][i] for v in rows[i]]
        for r in range(size):
            if r != i and rows[r][i] != 0:
                rows[r] = [a - rows[r][i] * b for a, b in zip(rows[r], rows[i])]
    return [row[-1] for row in rows]


def longley():
    table = [[Fraction(v) for v in line.split()] for line in LONGLEY.strip().splitlines()]
    y = [row[0] for row in table]
    x = [[Fraction(1), *row[1:]] for row in table]
    size = len(x[0])
    normal = [[sum(r[i] * r[j] for r in x) for j in range(size)] for i in range(size)]
    b = solve(normal, [sum(r[i] * v for r, v in zip(x, y)) for i in range(size)])
    rss = sum((v - sum(p * q for p, q in zip(r, b))) ** 2 for r, v in zip(x, y))
    scale = rss / (len(y) - size)
    with open(OUT / "longley_exact.csv", "w", newline="") as out:
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(["coefficient", "standard_error"])
        for i in range(size):
            unit = [Fraction(int(j == i)) for j in range(size)]
            variance = scale * solve(normal, unit)[i]
            rows.writerow([f"{float(b[i]):.14e}", f"{math.sqrt(variance):.14e}"])


if __name__ == "__main__":
    OUT.mkdir(exist_ok=True)
    curves_and_fits()
    longley()
