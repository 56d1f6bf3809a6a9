#!/usr/bin/env python3
"""Writes hoses.csv and cylinders.csv, what the reference library CoolProp says of hoses and
cylinders drawn at random. It shares no code and no table with the program.

    pip install CoolProp==8.0.0
    python3 coolprop.py

hoses.csv: refrigerant, temperature in degC, bore in mm, length in m, contents, grams. The
volume is added up from thin rings.

cylinders.csv: refrigerant, temperature in degC, grams that leave as liquid, and how far the
level falls in mL. A closed cylinder of 2 L that is six tenths full is a state of two phases
with one density; the level is where its quality puts it, before and after.
"""

import math
import random

import CoolProp.CoolProp as cp

FLUIDS = {
    "R-600a": "IsoButane", "R-290": "n-Propane", "R-134a": "R134a", "R-1270": "Propylene",
    "R-744": "CarbonDioxide", "R-32": "R32", "R-22": "R22", "R-12": "R12",
    "R-1234yf": "R1234yf", "R-1234ze(E)": "R1234ze(E)", "R-152a": "R152A",
    "R-404A": "R404A.mix", "R-407C": "R407C.mix", "R-410A": "R410A.mix",
    "R-448A": "R448A.mix", "R-454C": "R454C.mix", "R-513A": "R513A.mix", "R-507A": "R507A.mix",
}
KELVIN = 273.15
draw = random.Random(10)


def kg_m3(fluid, quality, celsius):
    state = cp.AbstractState("HEOS", fluid)
    state.update(cp.QT_INPUTS, quality, celsius + KELVIN)
    return state.rhomass()


def ml_of_rings(bore_mm, length_m, rings=2000):
    radius = bore_mm / 2
    width = radius / rings
    area = sum(2 * math.pi * (i + 0.5) * width * width for i in range(rings))
    return area * length_m


def temperature(name):
    return round(draw.uniform(-10, 28 if name == "R-744" else 40), 2)


with open("hoses.csv", "w") as out:
    print("# CoolProp 8.0.0; written by coolprop.py\nrefrigerant,celsius,bore_mm,length_m,"
          "contents,g", file=out)
    for i in range(180):
        name = list(FLUIDS)[i % len(FLUIDS)]
        contents = draw.choice(["liquid", "vapour"])
        celsius = temperature(name)
        bore, length = round(draw.uniform(2, 10), 2), round(draw.uniform(0.1, 3), 3)
        density = kg_m3(FLUIDS[name], 0 if contents == "liquid" else 1, celsius)
        g = ml_of_rings(bore, length) * density / 1e3
        print(f"{name},{celsius},{bore},{length},{contents},{g:.7g}", file=out)

with open("cylinders.csv", "w") as out:
    print("# CoolProp 8.0.0; written by coolprop.py\nrefrigerant,celsius,g,level_fall_ml", file=out)
    pure = [name for name, fluid in FLUIDS.items() if "mix" not in fluid]
    for i in range(44):
        name = pure[i % len(pure)]
        celsius = temperature(name)
        litres = 2.0
        ends = [cp.PropsSI("D", "T", celsius + KELVIN, "Q", q, FLUIDS[name]) for q in (0, 1)]
        kg = litres / 1e3 * (0.6 * ends[0] + 0.4 * ends[1])
        g = round(draw.uniform(0.02, 0.3) * kg * 1e3, 1)

        def level_ml(kg):
            quality = cp.PropsSI("Q", "T", celsius + KELVIN, "D", kg / litres * 1e3, FLUIDS[name])
            return kg * (1 - quality) / ends[0] * 1e6

        print(f"{name},{celsius},{g},{level_ml(kg) - level_ml(kg - g / 1e3):.7g}", file=out)
