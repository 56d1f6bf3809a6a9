#!/usr/bin/env python3
"""Writes refrigerants.csv: what the reference library CoolProp says of the
refrigerants in the table of this crate.

    pip install CoolProp==8.0.0
    python3 refrigerants.py > refrigerants.csv

Columns: designation; molar mass in g/mol; saturation pressure in Pa and viscosity
of the vapour in Pa s at 20 degC (viscosity at 101325 Pa; both empty where the
fluid has no vapour there, or the library no model); safety group as the library
has it, empty where it has none; composition of a blend in percent by mass.
"""

import json
import re

import CoolProp.CoolProp as cp

PURE = {
    "R-11": "R11", "R-12": "R12", "R-13": "R13", "R-14": "R14", "R-22": "R22",
    "R-23": "R23", "R-32": "R32", "R-40": "R40", "R-113": "R113", "R-114": "R114",
    "R-115": "R115", "R-116": "R116", "R-123": "R123", "R-124": "R124",
    "R-125": "R125", "R-134a": "R134a", "R-142b": "R142b", "R-143a": "R143a",
    "R-152a": "R152A", "R-170": "Ethane", "R-218": "R218", "R-227ea": "R227EA",
    "R-236fa": "R236FA", "R-245fa": "R245fa", "R-290": "n-Propane",
    "R-600": "n-Butane", "R-600a": "IsoButane", "R-601": "n-Pentane",
    "R-601a": "Isopentane", "R-717": "Ammonia", "R-744": "CarbonDioxide",
    "R-764": "SulfurDioxide", "R-1150": "Ethylene", "R-1233zd(E)": "R1233zd(E)",
    "R-1234yf": "R1234yf", "R-1234ze(E)": "R1234ze(E)", "R-1270": "Propylene",
    "R-1336mzz(Z)": "R1336mzz(Z)", "R-E170": "DimethylEther",
}
BLENDS = (
    "401A 401B 402A 402B 403B 404A 406A 407A 407C 407F 407H 408A 409A 410A 413A 414B "
    "416A 417A 418A 421A 422A 422B 422D 424A 426A 427A 428A 429A 430A 432A 433A "
    "434A 435A 436A 436B 436C 437A 438A 440A 441A 442A 443A 444A 444B 446A 447A 448A "
    "449A 450A 451A 452A 452B 453A 454A 454B 454C 455A 456A 457A 458A 459A 460B "
    "463A 466A 469A 471A 500 502 507A 508B 509A 510A 511A 512A 513A"
).split()


def group(fluid):
    info = json.loads(cp.get_fluid_param_string(fluid, "JSON"))[0]["INFO"]
    found = (info.get("ENVIRONMENTAL") or {}).get("ASHRAE34") or ""
    return found if found[:1] in ("A", "B") else ""


def tried(what):
    try:
        return what()
    except ValueError:
        return None


def pure(fluid):
    saturation = tried(lambda: cp.PropsSI("P", "T", 293.15, "Q", 1, fluid))
    viscosity = None
    # a fluid that boils above 20 degC has no vapour at 101325 Pa, and one that is
    # nearly critical at 20 degC is not charged as a liquid
    if saturation and 101325 < saturation < (6e6 if fluid == "CarbonDioxide" else 2e6):
        viscosity = tried(lambda: cp.PropsSI("V", "T", 293.15, "P", 101325, fluid))
    if not viscosity:
        return "", ""
    return f"{saturation:.1f}", f"{viscosity:.5e}"


def blend(name):
    while True:
        try:
            state = cp.AbstractState("HEOS", f"R{name}.mix")
            break
        except ValueError as e:
            # no interaction of the pair is known; the composition needs none
            pair = re.search(r"binary pair \[([\d-]+),([\d-]+)\]", str(e))
            if not pair:
                raise
            cp.apply_simple_mixing_rule(pair[1], pair[2], "linear")
    parts = list(zip(state.fluid_names(), state.get_mole_fractions()))
    masses = [(fluid, x * cp.PropsSI("M", fluid)) for fluid, x in parts]
    total = sum(m for _, m in masses)
    percent = " + ".join(f"{100 * m / total:.1f} {fluid}" for fluid, m in masses)
    return 1e3 * total, percent


print(f"# CoolProp {cp.get_global_param_string('version')}; written by refrigerants.py")
print("designation,molar_mass_g_per_mol,saturation_pa,viscosity_pa_s,group,composition")
for designation, fluid in PURE.items():
    molar_mass = 1e3 * cp.PropsSI("M", fluid)
    saturation, viscosity = pure(fluid)
    print(f"{designation},{molar_mass:.4f},{saturation},{viscosity},{group(fluid)},")
for name in BLENDS:
    molar_mass, composition = blend(name)
    own = tried(lambda: group(f"R{name}")) or ""
    print(f"R-{name},{molar_mass:.4f},,,{own},{composition}")
