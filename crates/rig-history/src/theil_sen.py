"""Writes the vectors of the test in theil_sen.rs (SciPy 1.17)."""

import numpy as np
from scipy.stats import theilslopes

rng = np.random.default_rng(11)
cases = [
    (np.array([0.0, 2.0, 5.0, 9.0, 12.0]), np.array([40.0, 47.0, 55.0, 68.0, 81.0])),
    (np.array([0.5, 1.0, 1.5, 1.5, 4.0, 7.0, 7.5, 8.0]),
     np.array([31.0, 30.0, 33.0, 30.0, 32.0, 95.0, 33.0, 31.0])),
    (np.cumsum(rng.uniform(0.2, 2.0, 20)).round(2), rng.normal(50.0, 6.0, 20).round(1)),
]
for x, y in cases:
    slope, at_zero, low, high = theilslopes(y, x, 0.95, method="separate")
    points = ", ".join(f"({float(a)!r}, {float(b)!r})" for a, b in zip(x, y))
    print(f"        check(&[{points}], ({float(slope)!r}, {float(at_zero)!r}, {float(low)!r}, {float(high)!r}));")
