#!/usr/bin/env python3
"""Writes out_leak.csv: how much more leaks out of a charged system than into the same
system under vacuum, when the leak conducts like a fine tube.

    pip install CoolProp==8.0.0 fluids==1.3.1
    python3 out_leak.py > out_leak.csv

Flow: fluids.compressible.isothermal_gas, the complete isothermal equation of
compressible flow in a pipe, with the Darcy friction factor of laminar flow, 64/Re,
iterated until the mass flow stands. The tube is 4 micrometres wide and 20 mm long, so
that the flow is laminar and the term of acceleration is negligible. Gas: saturation
pressure and viscosity at 20 degC (viscosity of the vapour at 101325 Pa) and molar mass
from CoolProp; densities as of an ideal gas. Slip at low pressure is left out, as it is in
the laminar law that is checked.

Columns: designation; throughput (p V/t at 20 degC) of refrigerant out of the system at
saturation pressure into 101325 Pa, over throughput of air from 101325 Pa into 40 Pa
through the same tube.
"""

import math

import CoolProp.CoolProp as cp
import fluids
from fluids.compressible import isothermal_gas

KELVIN = 293.15
AROUND_PA, INSIDE_PA = 101325.0, 40.0
WIDE_M, LONG_M = 4e-6, 0.02
R = 8.314462618
FLUIDS = {"R-134a": "R134a", "R-290": "n-Propane", "R-600a": "IsoButane"}


def throughput(molar_mass, viscosity, p1, p2):
    rho = p1 * molar_mass / (R * KELVIN)
    mass = 1e-15
    for _ in range(200):
        reynolds = 4 * mass / (math.pi * WIDE_M * viscosity)
        new = isothermal_gas(rho, 64 / reynolds, P1=p1, P2=p2, L=LONG_M, D=WIDE_M)
        if abs(new / mass - 1) < 1e-12:
            break
        mass = math.sqrt(new * mass)
    assert reynolds < 100, reynolds
    return mass * R * KELVIN / molar_mass


air = throughput(
    cp.PropsSI("M", "Air"),
    cp.PropsSI("V", "T", KELVIN, "P", AROUND_PA, "Air"),
    AROUND_PA,
    INSIDE_PA,
)
print(f"# CoolProp {cp.get_global_param_string('version')}, fluids {fluids.__version__};"
      " written by out_leak.py")
print("designation,laminar_out_over_in")
for name, fluid in FLUIDS.items():
    out = throughput(
        cp.PropsSI("M", fluid),
        cp.PropsSI("V", "T", KELVIN, "P", AROUND_PA, fluid),
        cp.PropsSI("P", "T", KELVIN, "Q", 1, fluid),
        AROUND_PA,
    )
    print(f"{name},{out / air:.4f}")
