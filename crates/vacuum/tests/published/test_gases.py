#!/usr/bin/env python3
"""Writes test_gases.csv: compression factor Z of the gases that pressure tests use.

    pip install CoolProp==8.0.0 numpy
    python3 test_gases.py > test_gases.csv
    python3 test_gases.py --coefficients

The second prints the coefficients in crates/vacuum/src/test_gas.rs: a least-squares fit of
Z - 1 over x = p/(R T), u = 300 K/T, on a grid of its own. The rows of the table stand on
other temperatures and pressures than those of the fit.

Columns: gas, temperature_k, pressure_pa, z.
"""

import sys

import CoolProp.CoolProp as cp
import numpy as np

R = 8.314462618
GASES = {
    "nitrogen": "Nitrogen",
    "argon": "Argon",
    "helium": "Helium",
    "dry air": "Air",
    "forming gas": "Nitrogen[0.95]&Hydrogen[0.05]",
}


def z(fluid, kelvin, pa):
    return cp.PropsSI("Z", "T", kelvin, "P", pa, fluid)


def coefficients(fluid):
    rows, values = [], []
    for kelvin in np.arange(245, 336, 5.0):
        for bar in [0.5, *np.arange(1, 43, 1.5)]:
            x, u = bar * 1e5 / (R * kelvin), 300 / kelvin
            rows.append([x, x * u, x * u**2, x * u**3, x**2, x**2 * u, x**2 * u**2, x**3])
            values.append(z(fluid, kelvin, bar * 1e5) - 1)
    rows, values = np.array(rows), np.array(values)
    scale = np.abs(rows).max(0)
    found = np.linalg.lstsq(rows / scale, values, rcond=None)[0] / scale
    return found, np.abs(rows @ found - values).max()


if "--coefficients" in sys.argv:
    for name, fluid in GASES.items():
        found, worst = coefficients(fluid)
        print(name, f"worst {worst:.1e}", ", ".join(f"{c:.6e}" for c in found))
else:
    print(f"# CoolProp {cp.get_global_param_string('version')}; written by test_gases.py")
    print("gas,temperature_k,pressure_pa,z")
    for name, fluid in GASES.items():
        for kelvin in (250, 263.15, 277.3, 293.15, 295.15, 311.9, 330):
            for bar in (1, 2.7, 5.55, 11, 16.2, 25.3, 33.3, 40):
                print(f"{name},{kelvin},{bar * 1e5:.0f},{z(fluid, kelvin, bar * 1e5):.7f}")
