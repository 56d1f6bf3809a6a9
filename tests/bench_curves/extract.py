"""Cuts real pressure rises of a physics bench into holds.

usage: extract.py shield_data.db FOLDER

The database travels in the Python package `shield-data` (MIT licence, 2025): eight
runs of a hydrogen permeation bench. The downstream volume is valved off; its
capacitance manometer (1 Torr full scale at 10 V, so 100 micron a volt) stays level
until gas has found its way through a hot metal disc, minutes to days later, and then
rises straight, as through a leak. Nothing of it is stored in this project.

Written are CSV files named RUN_KIND_START_LENGTH.csv, KIND being
  flat      before the rise (nothing to see: `none`)
  straight  in the rise (`leak`)
  across    level first, then rising
  whole     from start to the top of the gauge
and one line a run: where the rise began, s. Beside each straight one lies
NAME.slope with the least-squares slope of the same readings and its standard error,
micron/min: by `scipy.stats.linregress` where SciPy is installed (the first line says
so), else by the same normal equations written out.
"""

import datetime
import math
import pathlib
import sqlite3
import statistics
import sys

try:
    from scipy.stats import linregress
except ImportError:
    linregress = None

MICRON_PER_VOLT = 100.0
GAUGE = "Baratron626D_1T_voltage"
TOP_MICRON = 1000.0
RISEN_MICRON = 2.0


def smooth(times, values, width_s):
    """Mean over the width_s around each reading."""
    out, a, b, total = [], 0, 0, 0.0
    for t in times:
        while b < len(times) and times[b] <= t + width_s / 2:
            total += values[b]
            b += 1
        while times[a] < t - width_s / 2:
            total -= values[a]
            a += 1
        out.append(total / (b - a))
    return out


def slope_of(times, values):
    """(who computed it, slope, its standard error), micron/s."""
    if linregress is not None:
        line = linregress(times, values)
        return "scipy", line.slope, line.stderr
    n = len(times)
    t_mean, p_mean = math.fsum(times) / n, math.fsum(values) / n
    tt = math.fsum((t - t_mean) ** 2 for t in times)
    slope = math.fsum((t - t_mean) * (p - p_mean) for t, p in zip(times, values)) / tt
    left = math.fsum((p - p_mean - slope * (t - t_mean)) ** 2 for t, p in zip(times, values))
    return "normal equations", slope, math.sqrt(left / (n - 2) / tt)


def windows(begin, top):
    """(kind, start, length) of the holds to cut out, s."""
    for length in (900, 1800, 3600):
        if begin > length * 0.9 + 320:
            yield "flat", 120, length
    for length in (900, 1800, 3600, 7200):
        for share in (0.05, 0.35, 0.65):
            start = begin + 200 + share * (top - begin)
            if start + length < top:
                yield "straight", start, length
    for length in (1800, 3600):
        start = begin - 0.4 * length
        if start > 60 and start + length < top:
            yield "across", start, length
    yield "whole", 60, top - 60


def main():
    database, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    connection = sqlite3.connect(f"file:{database}?mode=ro", uri=True)
    runs = [row[0] for row in connection.execute("select run_id from runs order by run_id")]
    count = 0
    for number, run in enumerate(runs):
        rows = connection.execute(
            f"select timestamp, {GAUGE} from measurements where run_id = ? order by id", (run,)
        )
        times, micron = [], []
        for stamp, volt in rows:
            if volt is not None:
                times.append(datetime.datetime.fromisoformat(stamp).timestamp())
                micron.append(volt * MICRON_PER_VOLT)
        times = [t - times[0] for t in times]
        level = statistics.median(p for t, p in zip(times, micron) if 100 < t < 300)
        even = smooth(times, micron, 30.0)
        begin = next(t for t, p in zip(times, even) if t > 100 and p > level + RISEN_MICRON)
        top = next((t for t, p in zip(times, even) if p > TOP_MICRON), times[-1])
        print(f"run {number}: level {level:.1f} micron, rises from {begin:.0f} s, ends {top:.0f} s")
        for kind, start, length in windows(begin, top):
            name = f"{number}_{kind}_{start:.0f}_{length:.0f}.csv"
            held = [(t - start, p) for t, p in zip(times, micron) if start <= t <= start + length]
            with open(folder / name, "w", encoding="utf-8") as out:
                out.write("elapsed_s,pressure_micron\n")
                for t, p in held:
                    out.write(f"{t:.3f},{p:.3f}\n")
            if kind == "straight":
                by, slope, error = slope_of(*zip(*held))
                line = f"{by}\n{60 * slope:.6f}\n{60 * error:.6f}\n"
                (folder / name).with_suffix(".slope").write_text(line, encoding="utf-8")
            count += 1
    print(f"{count} holds in {folder}")


main()
