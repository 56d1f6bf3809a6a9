"""Makes a folder of invented claims to try the desk on: python make_claims.py FOLDER [HOW_MANY]

Tables of readings by a formula, some of them twice, the run folders of samples/runs, and a
table that cannot be read. Everything is INVENTED; the same call makes the same
bytes. Python's own library only.
"""

import math
import pathlib
import random
import shutil
import sys

RUNS = pathlib.Path(__file__).resolve().parent.parent / "runs"
HEAD = "elapsed_s,pressure_micron,state,mark\n"


def table(seed, later_s=0):
    """A pull-down to some hundred micron, then a hold with a rise of its own; the same seed
    later on is the same record under another time."""
    draw = random.Random(seed)
    lowest = 10 ** draw.uniform(2.0, 2.7)
    rise = draw.choice([0.2, 0.5, 2.0, 20.0, 60.0])  # micron/min
    pump_s, hold_s, step_s = draw.randrange(900, 2400, 60), draw.randrange(600, 2400, 60), 5
    lines = [HEAD]
    for at_s in range(0, pump_s + hold_s, step_s):
        if at_s < pump_s:
            micron = lowest + 760e3 * math.exp(-14 * at_s / pump_s)
        else:
            micron = lowest + rise * (at_s - pump_s) / 60
        micron *= 1 + draw.gauss(0, 0.002)
        lines.append(f"{at_s + later_s},{micron:.1f},ok,\n")
        if at_s == pump_s:
            lines.append(f"{at_s + later_s},,,pump_side_shut\n")
    return "".join(lines)


def main(folder, how_many):
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=False)
    for seed in range(how_many):
        shop = folder / f"shop-{seed % 3}"
        shop.mkdir(exist_ok=True)
        (shop / f"INVENTED-{seed:04}.csv").write_text(table(seed), encoding="ascii")
    # a curve handed in twice, as if it were of another job: only the whole table shows it
    for seed in range(0, how_many, 8):
        copy = folder / "shop-2" / f"INVENTED-copy-{seed:04}.csv"
        copy.write_text(table(seed, later_s=3600), encoding="ascii")
    for run in sorted(RUNS.iterdir()):
        if run.is_dir():
            shutil.copytree(run, folder / "shop-0" / run.name)
    (folder / "shop-1" / "INVENTED-torn.csv").write_bytes(b"\x00\x01no head\n5,7\x00")


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) == 3 else 24)
