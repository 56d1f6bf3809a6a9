"""Writes NAME.capture and NAME.expected.csv of the two invented scales. It shares no code
with the reader. Grams in a pound: 453.59237 exactly (NIST SP 811 (2008) B.8). Which lines
must be refused was written by hand. Python 3, standard library only:
python3 make_captures.py
"""

from decimal import Decimal
from functools import reduce
from pathlib import Path

HERE = Path(__file__).parent
REJECTED = "rejected,,"
IN_G = {
    "g": Decimal(1),
    "kg": Decimal(1000),
    "oz": Decimal("453.59237") / 16,
    "lb": Decimal("453.59237"),
}


def write(name, pieces):
    """Each piece is the bytes of a line and the row expected from it."""
    capture = b"".join(data for data, _ in pieces)
    (HERE / f"{name}.capture").write_bytes(capture)
    rows = [row for _, row in pieces if row is not None]
    text = "state,mass_g,tare_g\n" + "".join(row + "\n" for row in rows)
    (HERE / f"{name}.expected.csv").write_text(text)


def g(number, unit):
    return f"{Decimal(number) * IN_G[unit]:.9f}"


def word_line():
    def line(number, unit, word, state, tare=None, end=b"\r\n"):
        text = f"#{number} {unit} {word}" + (f" tare {tare}" if tare else "")
        mass = g(number.replace(" ", ""), unit) if state in ("stable", "moving") else ""
        taken = g(tare, unit) if tare and mass else ""
        return text.encode() + end, f"{state},{mass},{taken}"

    return [
        line("4812.6", "g", "steady", "stable"),
        line("4812.4", "g", "settling", "moving"),
        line("4.8124", "kg", "steady", "stable", end=b"\n"),
        line("169.75", "oz", "steady", "stable", end=b"\r"),
        line("10.609", "lb", "steady", "stable"),
        (b"\r\n", None),
        line("-58.2", "g", "steady", "stable", tare="4812.4"),
        line("-  58.4", "g", "settling", "moving"),
        line("----", "g", "beyond", "over"),
        line("----", "g", "lifted", "under"),
        line("----", "g", "failed", "fault"),
        # a word that the dialect does not know: the value cannot be trusted
        (b"#4812.6 g maybe\r\n", REJECTED),
        (b"#4812.6 stone steady\r\n", REJECTED),
        (b"#4812.6 fl oz steady\r\n", REJECTED),
        (b"#48x2.6 g steady\r\n", REJECTED),
        # a steady value without a number
        (b"#---- g steady\r\n", REJECTED),
        (b"#4812,6 g steady\r\n", REJECTED),
        (b"#9999999999 g steady\r\n", REJECTED),
        (b"\xff\xfe\x00#\r\n", REJECTED),
        line("4754.2", "g", "steady", "stable"),
        # the power went within the line
        (b"#4754.2 g ste", REJECTED),
    ]


def fields_sum():
    codes = {"g": 0, "kg": 1, "oz": 2, "lb": 3}

    def line(number, tare, unit, letter, state, spoil=0):
        body = f"{number};{tare};{codes[unit]};{letter}".encode()
        check = reduce(lambda a, b: a ^ b, body, 0) ^ spoil
        told = b"<" + body + b">" + f"{check:02X}\r\n".encode()
        if spoil:
            return told, REJECTED
        if state in ("stable", "moving"):
            return told, f"{state},{g(number, unit)},{g(tare, unit)}"
        return told, f"{state},,"

    zero = "+0000.000"
    return [
        line("+0169.750", zero, "oz", "S", "stable"),
        line("+0169.745", zero, "oz", "D", "moving"),
        line("+4812.600", zero, "g", "S", "stable"),
        line("+0004.813", zero, "kg", "S", "stable"),
        line("+0010.610", zero, "lb", "S", "stable"),
        line("-0002.053", "+0169.750", "oz", "S", "stable"),
        line("+9999.999", zero, "g", "H", "over"),
        line("-9999.999", zero, "g", "L", "under"),
        line(zero, zero, "g", "X", "fault"),
        line(zero, zero, "g", "W", "busy"),
        line("+4812.600", zero, "g", "S", "stable", spoil=0x10),
        # a digit changed on the way, the check did not
        (b"<+4818.600;+0000.000;0;S>51\r\n", REJECTED),
        (b"+4812.600;+0000.000;0;S>6B\r\n", REJECTED),
        line("+4754.400", zero, "g", "S", "stable"),
    ]


write("weight-word-line", word_line())
write("weight-fields-sum", fields_sum())
