"""Writes NAME.csv and NAME.expected.csv: one small invented pull-down and hold as
ugly tables of many kinds, and what must be read from each. It shares no code with
the reader: the tables are rendered from the list of readings below with the
datetime and csv modules, the units by their published factors.
Python 3, standard library only:  python3 make_tables.py

Columns of an expectation: elapsed_s, micron (empty without a measurement), state,
and `row N` lines for rows that must be listed as left out.
"""

import csv
import io
from datetime import datetime, timedelta, timezone
from pathlib import Path

HERE = Path(__file__).parent

# NIST SP 811 (2008) appendix B.8: 1 Torr = 133.3224 Pa, 1 mbar = 100 Pa
PA_PER_MICRON = 0.1333224
UNITS = {"micron": 1.0, "Torr": 1e-3, "Pa": PA_PER_MICRON, "mbar": PA_PER_MICRON / 100}

# seconds and micron of an invented pull-down, 2 s apart
READINGS = [(2 * i, round(18764 * 0.82**i + 210.5, 1)) for i in range(40)]
START = datetime(2026, 3, 14, 9, 15, tzinfo=timezone.utc)


def write(name, data, rows, left_out=()):
    """`data` is text or bytes; `rows` are (s, micron or None, state)."""
    if isinstance(data, str):
        data = data.encode()
    (HERE / f"{name}.csv").write_bytes(data)
    out = ["elapsed_s,micron,state"]
    for s, micron, state in rows:
        out.append(f"{s:.3f},{'' if micron is None else format(micron, '.6g')},{state}")
    out += [f"row {row}" for row in left_out]
    (HERE / f"{name}.expected.csv").write_text("\n".join(out) + "\n")


def ok(readings=READINGS):
    return [(s, p, "ok") for s, p in readings]


def table(header, row, readings=READINGS, sep=",", end="\n", quoting=csv.QUOTE_MINIMAL):
    """A table through the csv module, which quotes as RFC 4180 asks."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=sep, lineterminator=end, quoting=quoting)
    writer.writerow(header)
    for s, p in readings:
        writer.writerow(row(s, p))
    return out.getvalue()


def at(s, zone_h=0):
    return (START + timedelta(seconds=s)).astimezone(timezone(timedelta(hours=zone_h)))


def comma(x):
    return str(x).replace(".", ",")


def indian(n):
    """12,34,567: the last three digits, then pairs."""
    head, tail = str(n)[:-3], str(n)[-3:]
    pairs = []
    while head:
        pairs.insert(0, head[-2:])
        head = head[:-2]
    return ",".join(pairs + [tail])


PLAIN = table(["Time (s)", "Pressure (micron)"], lambda s, p: [s, p])

# encodings and line ends
write("utf8-mark-crlf", "\ufeff" + PLAIN.replace("\n", "\r\n"), ok())
write("utf16-little", b"\xff\xfe" + PLAIN.encode("utf-16-le"), ok())
write("utf16-big-no-mark", PLAIN.encode("utf-16-be"), ok())
write("latin1-cr-only", table(["Zeit (s)", "Druck (µm)"], lambda s, p: [s, p], end="\r").encode("latin-1"), ok())
lines = PLAIN.splitlines()
mixed = "".join(line + ("\n", "\r\n", "\r")[i % 3] for i, line in enumerate(lines))
write("mixed-line-ends", mixed, ok())

# cells and numbers
write(
    "semicolon-decimal-comma-preamble",
    "Erfindung GmbH i. G.;Messprotokoll\nDruckverlauf, Zeit 09:15;\n\n"
    + table(["Zeit (min)", "Druck (mbar)"], lambda s, p: [comma(round(s / 60, 6)), comma(round(p * UNITS["mbar"], 9))], sep=";"),
    ok(),
)
write("tab-thousands", table(["t", "vacuum (micron)"], lambda s, p: [s, f"{p:,.1f}"], sep="\t"), ok())
write("bar-units-below", "time|pressure\n(s)|(Torr)\n" + "".join(f"{s}|{p / 1000:.4f}\n" for s, p in READINGS), ok())
write("blanks-stamp-am-pm", "Stamp            Pressure_mTorr\n" + "".join(f"{at(s):%Y-%m-%d %I:%M:%S %p}   {p:>8}\n" for s, p in READINGS), ok())
write("all-quoted", table(["Time (s)", "Pressure (micron)"], lambda s, p: [s, p], quoting=csv.QUOTE_ALL), ok())
write("swiss-apostrophe", table(["t (s)", "p (micron)"], lambda s, p: [s, f"{p:,.1f}".replace(",", "’")], sep=";"), ok())
lakh = [(2 * i, 760000.0 - 9000 * i) for i in range(20)]
write("indian-thousands", table(["t (s)", "p (micron)"], lambda s, p: [s, indian(int(p))], lakh), ok(lakh))
write("exponents-unit-in-cell", table(["t (s)", "p"], lambda s, p: [s, f"{p / 1000:.5E} Torr"]), ok())
cycle = ["micron", "Torr", "Pa", "mbar"]
units = [f"{s};{p * UNITS[cycle[i % 4]]:.9g};{cycle[i % 4]}" for i, (s, p) in enumerate(READINGS)]
write("unit-column", "t (s);p;unit\n" + "\n".join(units) + "\n", ok())

# times
write("us-dates-am-pm", table(["Date", "Time", "P (micron)"], lambda s, p: [f"{at(s):%m/%d/%Y}", f"{at(s):%I:%M:%S %p}", p]), ok())
write("epoch-ms", table(["epoch_ms", "P (micron)"], lambda s, p: [int(at(s).timestamp() * 1000), p]), ok())
write("epoch-us", table(["timestamp", "P (micron)"], lambda s, p: [int(at(s).timestamp()) * 1000000, p]), ok())
write("day-numbers", table(["Time", "P (micron)"], lambda s, p: [f"{46095 + (33300 + s) / 86400:.9f}", p]), ok())
write("digits-only-stamp", table(["stamp time", "P (micron)"], lambda s, p: [f"{at(s):%Y%m%d%H%M%S}", p]), ok())
write("ctime", table(["time", "P (micron)"], lambda s, p: [f"{at(s):%a %b %d %H:%M:%S %Y}", p]), ok())
# the clock is put back one hour in the middle: offsets and names say so
summer = [(s, p, 2 if i < 20 else 1) for i, (s, p) in enumerate(READINGS)]
write("daylight-saving-offset", "time,P (micron)\n" + "".join(f"{at(s, h).isoformat()},{p}\n" for s, p, h in summer), ok())
names = {2: "CEST", 1: "CET"}
write("daylight-saving-names", "time,P (micron)\n" + "".join(f"{at(s, h):%Y-%m-%d %H:%M:%S} {names[h]},{p}\n" for s, p, h in summer), ok())
midnight = timedelta(hours=14, minutes=44, seconds=30)
write("newest-first-midnight", "time,P (micron)\n" + "".join(f"{at(s) + midnight:%H:%M:%S},{p}\n" for s, p in reversed(READINGS)), ok())

# rows that are no readings
header, *rows = PLAIN.splitlines()
write("header-repeated", "\n".join([header, *rows[:10], header, *rows[10:]]) + "\n", ok(), [12])
late = READINGS[:10] + [(13, 4000.0)] + READINGS[10:]
write("late-row", table(["t (s)", "P (micron)"], lambda s, p: [s, p], late), ok(), [12])
write("equal-stamps", table(["t (s)", "P (micron)"], lambda s, p: [s // 4 * 4, p]), [(s // 4 * 4, p, "ok") for s, p in READINGS])
words = {0: "OL", 1: ">25000", 2: ">>>>", 5: "Err", 6: "sensor fault", 7: "Gauge off", 9: "-OL", 10: "under range"}
states = {0: "over", 1: "over", 2: "over", 5: "fault", 6: "fault", 7: "gap", 9: "under", 10: "under"}
write(
    "words-for-states",
    "t (s),P (micron)\n" + "".join(f"{s},{words.get(i, p)}\n" for i, (s, p) in enumerate(READINGS)),
    [(s, None if i in states else p, states.get(i, "ok")) for i, (s, p) in enumerate(READINGS)],
)
bad = {3: "", 4: "NaN", 5: "-7.5", 6: "1e12", 8: "abc", 11: "#DIV/0!", 13: "n/a"}
write(
    "no-readings",
    "t (s),P (micron)\n" + "".join(f"{s},{bad.get(i, p)}\n" for i, (s, p) in enumerate(READINGS)),
    [(s, p, "ok") for i, (s, p) in enumerate(READINGS) if i not in bad],
    [i + 2 for i in bad],
)
rows = [f"{s},{p}" for s, p in READINGS]
write("zeros-and-cut-end", ("t (s),P (micron)\n" + "\n".join(rows[:20])).encode() + b"\n40,\0\0\0\0\n" + ("\n".join(rows[21:]))[:-2].encode(), ok(READINGS[:20] + READINGS[21:-1]), [22, 41])
# the logger starts again at the valve: 30 rows, then seconds from 0; 15 s or eight
# intervals (here 16 s) stand for the unknown pause
again = "t (s),P (micron),mark\n"
again += "".join(f"{s},{p},\n" for s, p in READINGS[:30])
again += "".join(f"{2 * i},{300 + i},{'pump_side_shut' if i == 0 else ''}\n" for i in range(30))
gap = 58 + 16
write("clock-starts-again", again, ok(READINGS[:30]) + [(gap, None, "gap")] + [(gap + 2 * i, 300 + i, "ok") for i in range(30)])
