#!/usr/bin/env python3
"""Writes the tables of this crate, and the states they are tested against, with the
reference library CoolProp.

    pip install CoolProp==8.0.0 scipy
    python3 make.py tables > saturation.csv
    python3 make.py reference > ../tests/reference.csv

Columns of saturation.csv: designation; temperature in degC; pressure of the bubble point
and of the dew point in Pa; density of the boiling liquid, of the saturated vapour, and of
the vapour at half the dew pressure, in kg/m3. A row "critical" before the states of a
substance gives its critical temperature in degC (of a blend the mean of its parts by
amount, which is only the scale on which its densities are interpolated).

Columns of reference.csv: pressures and densities of saturation at temperatures drawn at random, one state a row (with
more of them in the last 5 K below a critical point), and at the end a pressure below the dew pressure in Pa with the density of the vapour there.

Blends are equations of state of mixtures. A blend is in the table only when the library
has a published interaction for every pair of its parts; sources of these interactions are
printed to standard error.
"""

import itertools
import math
import random
import sys

import CoolProp.CoolProp as cp
import scipy.optimize

LOWEST_C, HIGHEST_C, STEP_K = -40.0, 60.0, 5.0
# states near a critical point stand closer together
BELOW_CRITICAL_K = (14.0, 10.0, 7.0, 5.0, 3.0, 2.0, 1.2, 0.7, 0.4, 0.2, 0.1)
PURE = {
    "R-11": "R11", "R-12": "R12", "R-13": "R13", "R-22": "R22", "R-23": "R23",
    "R-32": "R32", "R-114": "R114", "R-115": "R115", "R-123": "R123", "R-124": "R124",
    "R-125": "R125", "R-134a": "R134a", "R-142b": "R142b", "R-143a": "R143a",
    "R-152a": "R152A", "R-170": "Ethane", "R-E170": "DimethylEther", "R-218": "R218",
    "R-227ea": "R227EA", "R-236fa": "R236FA", "R-245fa": "R245fa", "R-290": "n-Propane",
    "R-600": "n-Butane", "R-600a": "IsoButane", "R-601a": "Isopentane",
    "R-717": "Ammonia", "R-744": "CarbonDioxide", "R-1233zd(E)": "R1233zd(E)",
    "R-1234yf": "R1234yf", "R-1234ze(E)": "R1234ze(E)", "R-1270": "Propylene",
}
BLENDS = (
    "404A 407A 407C 407F 407H 410A 417A 421A 422A 422B 422D 427A 428A 430A 432A 433A "
    "434A 436A 436B 436C 440A 441A 442A 443A 444A 444B 448A 449A 450A 451A 452A 452B "
    "454A 454B 454C 455A 456A 457A 500 502 507A 510A 511A 512A 513A"
).split()
# parts of the dew pressure at which the vapour is tabled too
THINNER = (0.5, 0.85)
KELVIN = 273.15


class Substance:
    def __init__(self, designation):
        self.designation = designation
        self.pure = designation in PURE
        fluid = PURE.get(designation) or designation.replace("R-", "R") + ".mix"
        self.state = cp.AbstractState("HEOS", fluid)
        self.gas = cp.AbstractState("HEOS", fluid)
        self.gas.specify_phase(cp.iphase_gas)
        if self.pure:
            self.critical_c = self.state.T_critical() - KELVIN
            self.highest_c = min(HIGHEST_C, self.critical_c - BELOW_CRITICAL_K[-1])
        else:
            parts = zip(self.state.fluid_names(), self.state.get_mole_fractions())
            self.critical_c = sum(x * cp.PropsSI("Tcrit", f) for f, x in parts) - KELVIN
            self.highest_c = HIGHEST_C
            assert self.critical_c > HIGHEST_C + 5, designation
            self.say_sources()

    def say_sources(self):
        for pair in itertools.combinations(self.state.fluid_names(), 2):
            one, other = (cp.get_fluid_param_string(f, "CAS") for f in pair)
            try:
                source = cp.get_mixture_binary_pair_data(one, other, "BibTeX")
            except ValueError:
                source = cp.get_mixture_binary_pair_data(other, one, "BibTeX")
            assert source and "simple" not in source.lower(), (self.designation, pair)
            print(f"{self.designation}: {pair[0]} with {pair[1]}: {source}", file=sys.stderr)

    def boiling(self, quality, celsius):
        """Pressure and density of the boiling liquid (0) or the dew vapour (1)."""
        try:
            self.state.update(cp.QT_INPUTS, quality, celsius + KELVIN)
            return self.state.p(), self.state.rhomass()
        except ValueError:
            return self.boiling_from_below(quality, celsius)

    def boiling_from_below(self, quality, celsius):
        """The same where the library finds no beginning: its equation of state is solved
        for equal pressures and fugacities in steps, from a colder state that it finds."""
        begin = celsius
        while True:
            begin -= 1.0
            try:
                self.state.update(cp.QT_INPUTS, quality, begin + KELVIN)
                break
            except ValueError:
                assert begin > celsius - 30, (self.designation, celsius)
        known = self.state.get_mole_fractions()
        other = [self.state.mole_fractions_vapor, self.state.mole_fractions_liquid][quality]()
        rhos = [self.state.saturated_liquid_keyed_output(cp.iDmolar),
                self.state.saturated_vapor_keyed_output(cp.iDmolar)]
        mine, its = rhos if quality == 0 else rhos[::-1]
        fluid = "&".join(self.state.fluid_names())
        one, two = (cp.AbstractState("HEOS", fluid) for _ in range(2))
        phases = [cp.iphase_liquid, cp.iphase_gas]
        one.specify_phase(phases[quality])
        two.specify_phase(phases[1 - quality])
        one.set_mole_fractions(known)

        def apart(x, kelvin):
            parts = [*x[2:], 1 - sum(x[2:])]
            two.set_mole_fractions(parts)
            one.update(cp.DmolarT_INPUTS, math.exp(x[0]), kelvin)
            two.update(cp.DmolarT_INPUTS, math.exp(x[1]), kelvin)
            fugacities = [math.log(one.fugacity(i) / two.fugacity(i)) for i in range(len(parts))]
            return [(one.p() - two.p()) / 1e6, *fugacities]

        x = [math.log(mine), math.log(its), *other[:-1]]
        steps = round(celsius - begin)
        for step in range(1, steps + 1):
            kelvin = begin + (celsius - begin) * step / steps + KELVIN
            found = scipy.optimize.root(apart, x, args=(kelvin,), tol=1e-12)
            assert max(map(abs, found.fun)) < 1e-8, (self.designation, celsius, found)
            x = list(found.x)
        print(f"{self.designation}: {celsius} degC, quality {quality}: solved from "
              f"{begin:.1f} degC", file=sys.stderr)
        return one.p(), math.exp(x[0]) * one.molar_mass()

    def vapour(self, pa, celsius):
        self.gas.update(cp.PT_INPUTS, pa, celsius + KELVIN)
        return self.gas.rhomass()

    def at(self, celsius):
        bubble, liquid = self.boiling(0, celsius)
        dew, vapour = self.boiling(1, celsius)
        return bubble, dew, liquid, vapour, *(self.vapour(f * dew, celsius) for f in THINNER)

    def temperatures(self):
        steps = int((HIGHEST_C - LOWEST_C) / STEP_K)
        regular = [LOWEST_C + STEP_K * i for i in range(steps + 1)]
        near = [round(self.critical_c - k, 2) for k in BELOW_CRITICAL_K] if self.pure else []
        near = [t for t in near if t < HIGHEST_C]
        first_near = min(near, default=HIGHEST_C)
        end = [HIGHEST_C] if near and self.highest_c == HIGHEST_C else []
        return [t for t in regular if t < first_near - 2 or not near] + near + end


def row(cells):
    return ",".join(f"{x:.6g}" if isinstance(x, float) else str(x) for x in cells)


def everything():
    return [Substance(d) for d in [*PURE, *(f"R-{b}" for b in BLENDS)]]


def tables():
    print("# CoolProp 8.0.0; written by make.py")
    print("designation,celsius,bubble_pa,dew_pa,liquid_kg_m3,vapour_kg_m3,"
          "at_half_dew_kg_m3,at_085_dew_kg_m3")
    for substance in everything():
        name = substance.designation
        print(row([name, "critical", substance.critical_c]))
        for celsius in substance.temperatures():
            print(row([name, celsius, *substance.at(celsius)]))


def reference():
    print("# CoolProp 8.0.0; written by make.py; temperatures drawn with seed 18")
    print("designation,celsius,bubble_pa,dew_pa,liquid_kg_m3,vapour_kg_m3,pa,kg_m3")
    draw = random.Random(18)
    for substance in everything():
        lows = [LOWEST_C] * 9
        if substance.pure and substance.critical_c < HIGHEST_C:
            lows += [substance.critical_c - 5.0] * 4
        for low in lows:
            celsius = round(draw.uniform(low, substance.highest_c), 3)
            states = substance.at(celsius)[:4]
            pa = round(draw.uniform(0.02, 0.98) * states[1])
            vapour = substance.vapour(pa, celsius)
            print(",".join([substance.designation, f"{celsius:.3f}",
                            *(f"{x:.7g}" for x in states), str(pa), f"{vapour:.7g}"]))


if __name__ == "__main__":
    {"tables": tables, "reference": reference}[sys.argv[1]]()
