#!/usr/bin/env python3
"""Writes the invented pressure tests of this folder: 2.8 L of nitrogen at 11 bar.

    python3 make_samples.py

The law of the ideal gas in a rigid vessel; heat of filling that goes in 45 s and 10 min; a
room that cools. Invented demonstration data.
"""

import math


def write(name, lost_per_hour=0.0, supply_open=False, thermometer=True):
    header = "time (s),pressure (bar abs)" + (",temperature_c" if thermometer else "")
    with open(name, "w") as out:
        out.write(header + ",mark,note\n")
        for s in range(0, 5400, 5):
            held = s - 90
            room = 22.4 - 0.9 * max(held, 0) / 5400 - 0.15 * math.sin(s / 700)
            if held < 0:
                bar = 1.01325 + (11.05 - 1.01325) * min(1, s / 80)
            elif supply_open:
                bar = 11.05
            else:
                gas = room + 6 * math.exp(-held / 45) + 0.5 * math.exp(-held / 600)
                bar = 11.05 * (gas + 273.15) / (22.4 + 6.5 + 273.15)
                bar *= math.exp(-lost_per_hour * held / 3600)
            noise = ((math.sin(s * 12.9898) * 43758.5453) % 1 - 0.5) * 0.002
            cells = [str(s), f"{bar + noise:.3f}"]
            if thermometer:
                cells.append(f"{room:.1f}")
            cells.append("supply_shut" if s == 90 else "")
            cells.append("invented demonstration data" if s == 0 else "")
            out.write(",".join(cells) + "\n")


write("tight.csv")
write("leak.csv", lost_per_hour=0.06)
write("supply-open.csv", supply_open=True)
write("no-thermometer.csv", thermometer=False)
