"""Makes a folder of invented claims to try the desk on: python make_claims.py FOLDER [HOW_MANY]

Tables of readings by a formula, copies of the run folders of samples/runs under names of
their own, and a table that is torn. Everything is INVENTED; the same call makes the same
bytes. Python's own library only.
"""

import math
import pathlib
import random
import shutil
import sys

RUNS = pathlib.Path(__file__).resolve().parent.parent / "runs"
HEAD = "elapsed_s,pressure_micron,state,mark\n"


def table(seed):
    """A pull-down to some hundred micron, then a hold with a rise of its own."""
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
        lines.append(f"{at_s},{micron:.1f},ok,\n")
        if at_s == pump_s:
            lines.append(f"{at_s},,,pump_side_shut\n")
    return "".join(lines)


def main(folder, how_many):
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=False)
    for seed in range(how_many):
        shop = folder / f"shop-{seed % 3}"
        shop.mkdir(exist_ok=True)
        (shop / f"INVENTED-{seed:04}.csv").write_text(table(seed), encoding="ascii")
    # the same readings handed in twice, by two shops: only the table as a whole shows it
    for shop in ("shop-0", "shop-2"):
        for run in sorted(RUNS.iterdir()):
            if run.is_dir():
                shutil.copytree(run, folder / shop / f"{run.name}-of-{shop}")
    (folder / "shop-1" / "INVENTED-torn.csv").write_text(HEAD + "0,760000,ok,\n5,7\x00", encoding="ascii")


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) == 3 else 24)
