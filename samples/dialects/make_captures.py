"""Writes NAME.capture and NAME.expected.csv of the invented gauges whose output
needs arithmetic. It shares no code with the reader: numbers are packed with
struct, checks are computed here, and binascii gives the CRC of the published
kinds. Python 3, standard library only:  python3 make_captures.py
"""

import binascii
import math
import struct
from functools import reduce
from pathlib import Path

HERE = Path(__file__).parent
REJECTED = "rejected,,,"
BUSY = "busy,,,"


def write(name, pieces):
    """Each piece is bytes and the rows expected from them (possibly none)."""
    capture = b"".join(data for data, *_ in pieces)
    rows = [row for _, *rows in pieces for row in rows]
    (HERE / f"{name}.capture").write_bytes(capture)
    text = "state,pressure,temperature_c,device_s\n" + "".join(r + "\n" for r in rows)
    (HERE / f"{name}.expected.csv").write_text(text)


def xor8(data):
    return reduce(lambda a, b: a ^ b, data, 0)


def crc8(data):
    """Polynomial 07, start 00, bit by bit."""
    value = 0
    for byte in data:
        value ^= byte
        for _ in range(8):
            value = (value << 1 ^ 0x07) & 0xFF if value & 0x80 else value << 1
    return value


def crc16_modbus(data):
    """Polynomial 8005 reflected, start FFFF, bit by bit."""
    value = 0xFFFF
    for byte in data:
        value ^= byte
        for _ in range(8):
            value = value >> 1 ^ 0xA001 if value & 1 else value >> 1
    return value


assert crc8(b"123456789") == 0xF4 and crc16_modbus(b"123456789") == 0x4B37


def tagged(body):
    body = body.encode()
    return b"!" + body + b"%02X\r\n" % xor8(body)


write("channel-tagged-fields", [
    (tagged("2;512.3;Pa;OK;"), "ok,512.3 Pa,,"),
    (tagged("1;7.0;Pa;OK;"),),
    (tagged("2;0.667;mbar;OK;"), "ok,0.667 mbar,,"),
    (b"noise \xff\x80\r\n", REJECTED),
    (tagged("2;512.4;Pa;OK;").replace(b"512.4", b"512.8"), REJECTED),
    (tagged("1;8.0;Pa;ER;"),),
    (tagged("2;13300;Pa;HI;"), "over,,,"),
    (tagged("2;0.1;Pa;LO;"), "under,,,"),
    (tagged("2;99;Pa;ER;"), "fault,,,"),
    (tagged("2;99;Pa;OFF;"), "gap,,,"),
    (tagged("2;99;Pa;WAIT;"), BUSY),
    (tagged("2;99;Pa;ODD;"), REJECTED),
    (tagged("2;99;psig;OK;"), REJECTED),
    (tagged("2;3.5;Pa;OK;9;"), REJECTED),
    (tagged("2;3.5;Pa;OK;"), "ok,3.5 Pa,,"),
])


def columns(body):
    body = body.encode()
    return body + bytes([sum(body) % 64 + 64]) + b"\r"


write("polled-mantissa-exponent", [
    (columns("0751231020"), "ok,512.3 Pa,,"),
    (columns("0710000010"), "ok,0.1 Pa,,"),
    (columns("0766661000"), "ok,6.666 Pa,,"),
    (columns("0899991000"), REJECTED),
    (columns("0751231020").replace(b"5123", b"5124"), REJECTED),
    (columns("0751231020")[:-4] + b"\r", REJECTED),
    (columns("0799991042"), "over,13300 Pa,,"),
    (columns("0713301040"), "over,13300 Pa,,"),
    (columns("0710000031"), "under,,,"),
    (columns("0751231023"), "fault,,,"),
    (columns("0751231027"), "gap,,,"),
    (columns("0751231028"), BUSY),
    (columns("0751237020"), REJECTED),
    (columns("0712341010"), "ok,12.34 Pa,,"),
])


def confirmed(body, confirm=b"\x06\r\n"):
    body = body.encode()
    return confirm + body + b" %02X\r\n" % (sum(body) & 0xFF)


write("polled-confirmed-line", [
    (confirmed("N 5.123E+02 micron"), "ok,512.3 micron,,"),
    (confirmed("N 1.0E-3 mbar"), "ok,0.001 mbar,,"),
    (b"\x15\r\n", REJECTED),
    (confirmed("H 2.5E+04 micron"), "over,,,"),
    (confirmed("L 1.0E+00 micron"), "under,,,"),
    (confirmed("E 5.123E+02 micron"), "fault,,,"),
    (confirmed("X 5.123E+02 micron"), "gap,,,"),
    (confirmed("W 5.123E+02 micron"), BUSY),
    (confirmed("N 5.123E+02 micron").replace(b"5.1", b"6.1"), REJECTED),
    (confirmed("N 498 micron", confirm=b"\x06"), "ok,498 micron,,"),
    (confirmed("N 497 Pa", confirm=b""), "ok,497 Pa,,"),
])


def counts(value, state, tenths):
    body = b"V=%04X,S=%02X,T=%04X" % (value, state, tenths & 0xFFFF)
    return b":" + body + b",%02X\r\n" % crc8(body)


write("hex-counts-line", [
    (counts(500, 0x00, 214), "ok,50.0 Pa,21.4,"),
    (counts(66661, 0x00, -55), "ok,6666.1 Pa,-5.5,"),
    (counts(1, 0x40, 0), "ok,0.1 Pa,0,"),
    (counts(0xFFFF, 0x01, 214), "over,,21.4,"),
    (counts(0, 0x02, 214), "under,,21.4,"),
    (counts(500, 0x30, 214), "fault,,21.4,"),
    (counts(500, 0x10, 214), "ok,50.0 Pa,21.4,"),
    (counts(500, 0x31, 214), "fault,,21.4,"),
    (counts(500, 0x80, 214), BUSY),
    (counts(500, 0x00, 214).replace(b"01F4", b"01F5"), REJECTED),
    (b"\x00\xfe:V=01\r\n", REJECTED),
    (counts(499, 0x00, 213), "ok,49.9 Pa,21.3,"),
])


def scaled(hundredths, state, celsius):
    body = struct.pack(">I", hundredths)[1:] + struct.pack(">Bb", state, celsius)
    return b"\xa5\x5a" + body + bytes([sum(body) & 0xFF])


write("sync-frame-scaled-integer", [
    (scaled(51230, 0x00, 21), "ok,512.30 Pa,21,"),
    (scaled(6666, 0x00, -5), "ok,66.66 Pa,-5,"),
    # rubbish with a sync in it, then a frame with a sync inside its data
    (b"\x00\xa5\x11\xa5", REJECTED),
    (scaled(0xA55A01, 0x00, 20), f"ok,{0xA55A01 / 100:.2f} Pa,20,"),
    (scaled(51231, 0x00, 21).replace(b"\xc8\x1f", b"\xc8\x1e"), REJECTED),
    (scaled(0xFFFFFF, 0x01, 21), "over,,21,"),
    (scaled(0, 0x02, 21), "under,,21,"),
    (scaled(51230, 0x04, 21), "fault,,21,"),
    (scaled(51230, 0x40, 21), "gap,,21,"),
    # cut in the middle: the next frame begins before the bytes are full
    (scaled(51230, 0x00, 21)[:5], REJECTED),
    (scaled(48000, 0x00, 21), "ok,480 Pa,21,"),
    (scaled(47999, 0x00, 21)[:6], REJECTED),
])


def floating(ms, value, unit, state):
    body = struct.pack("<IfBB", ms, value, unit, state)
    return b"\xaa\x55" + body + struct.pack("<H", crc16_modbus(body))


def as_sent(value):
    return repr(struct.unpack("<f", struct.pack("<f", value))[0])


write("sync-frame-float-crc", [
    (floating(1500, 512.3, 0, 0), f"ok,{as_sent(512.3)} micron,,1.5"),
    (floating(1600, 66.6612, 1, 0), f"ok,{as_sent(66.6612)} Pa,,1.6"),
    (floating(1700, 0.667, 2, 0), f"ok,{as_sent(0.667)} mbar,,1.7"),
    (floating(1800, math.nan, 0, 0), REJECTED),
    (floating(1900, math.inf, 0, 0), REJECTED),
    (floating(2000, 500.0, 9, 0), REJECTED),
    (floating(2100, 500.0, 0, 7), REJECTED),
    (b"\x55\x55\xaa\x01", REJECTED),
    (floating(2200, 25000.0, 0, 1), "over,,,2.2"),
    (floating(2300, math.nan, 0, 3), "fault,,,2.3"),
    (bytes(b ^ (i == 8) for i, b in enumerate(floating(2400, 500.0, 0, 0))), REJECTED),
    (floating(4294967295, 500.0, 0, 0), "ok,500 micron,,4294967.295"),
])


def bare(thousandths, power, state):
    return b"\x02M" + struct.pack(">HbB", thousandths, power, state) + b"\x03"


write("sync-frame-mantissa-exponent", [
    (bare(5123, -1, 0), "ok,0.5123 Torr,,"),
    (bare(1000, -3, 0), "ok,0.001 Torr,,"),
    (bare(7600, 2, 0), "ok,760 Torr,,"),
    (b"\x03\x03\x02", REJECTED),
    (bare(9999, 3, 1), "over,,,"),
    (bare(0, 0, 2), "under,,,"),
    (bare(5123, -1, 9), "fault,,,"),
    (bare(5123, -1, 4), REJECTED),
    (bare(5123, 120, 0), REJECTED),
    (bare(4980, -1, 0)[:-1] + b"\x04", REJECTED),
    # without a checksum a frame is believed when another follows
    (bare(4970, -1, 0), "ok,0.4970 Torr,,"),
    (bare(4960, -1, 0), "ok,0.4960 Torr,,"),
])


def volts(x):
    return b"AI1,%+.4f,V\r\n" % x


def log_linear(x):
    return f"ok,{10 ** (x - 4.0)!r} Pa,,"


write("converter-volts-log-linear", [
    # with and without a blank before the unit
    *((volts(x).replace(b",V", b", V"), log_linear(x)) for x in (5.1234, 6.0, 1.0, 9.5)),
    (volts(0.0), "fault,,,"),
    (volts(0.9999), "fault,,,"),
    (volts(10.0), "fault,,,"),
    (b"AI2,+5.0000,V\r\n", REJECTED),
    (b"AI1,+5.00\xb700,V\r\n", REJECTED),
    (volts(4.5), log_linear(4.5)),
])

POINTS = [(4.0, 0.1), (8.0, 10.0), (12.0, 400.0), (16.0, 9000.0), (20.0, 100000.0)]


def table(x):
    for (x0, p0), (x1, p1) in zip(POINTS, POINTS[1:]):
        if x0 <= x <= x1:
            share = (x - x0) / (x1 - x0)
            return f"ok,{p0 ** (1 - share) * p1 ** share!r} Pa,,"
    raise ValueError(x)


def milliamps(x):
    return b"I=%.3f mA\r\n" % x


write("converter-milliamps-table", [
    *((milliamps(x), table(x)) for x in (12.003, 6.0, 8.0, 19.999)),
    # half-way between 0.1 and 10 on a logarithmic scale is 1
    (milliamps(6.0), "ok,1.0 Pa,,"),
    (milliamps(3.9), "under,0.1 Pa,,"),
    (milliamps(20.4), "over,100000 Pa,,"),
    (milliamps(0.0), "fault,,,"),
    (milliamps(22.0), "fault,,,"),
    (b"I=12.0\xff3 mA\r\n", REJECTED),
    (milliamps(4.0), "ok,0.1 Pa,,"),
])


def node(sequence, seconds, value, unit, temperature, state, version="N1"):
    body = f"{version} {sequence} {seconds} {value} {unit} {temperature} {state} ".encode()
    return body + b"%04X\n" % binascii.crc_hqx(body, 0xFFFF)


write("node-line", [
    (node(417, "208.500", "501.2", "micron", "23.1", "ok"), "ok,501.2 micron,23.1,208.5"),
    (node(418, "209.000", "66.1", "Pa", "-5.0", "ok"), "ok,66.1 Pa,-5,209"),
    (node(419, "209.500", "0.651", "mbar", "-", "ok"), "ok,0.651 mbar,,209.5"),
    (node(420, "210.000", "0.500", "Torr", "0.0", "ok"), "ok,0.5 Torr,0,210"),
    (node(421, "210.500", ">25000", "micron", "23.1", "over"), "over,25000 micron,23.1,210.5"),
    (node(422, "211.000", "<1", "micron", "23.1", "under"), "under,1 micron,23.1,211"),
    (node(423, "211.500", "-", "micron", "23.1", "fault"), "fault,,23.1,211.5"),
    # with the line end of a terminal program
    (node(424, "212.000", "499.8", "micron", "23.1", "ok")[:-1] + b"\r\n", "ok,499.8 micron,23.1,212"),
    # a flipped bit, a version not known here, noise
    (node(425, "212.500", "499.6", "micron", "23.1", "ok").replace(b"499", b"489"), REJECTED),
    (node(426, "213.000", "499.5", "micron", "23.1", "ok", "N3"), REJECTED),
    (b"\xff\x00 noise\n", REJECTED),
    (node(427, "213.500", "499.4", "micron", "23.1", "ok"),
     "2 missing,,,", "ok,499.4 micron,23.1,213.5"),
    # five lines that never came; a line that came twice
    (node(433, "216.500", "498.9", "micron", "23.1", "ok"),
     "5 missing,,,", "ok,498.9 micron,23.1,216.5"),
    (node(433, "216.500", "498.9", "micron", "23.1", "ok"), "repeated,,,"),
    # started again, and counted on
    (node(0, "0.500", "-", "micron", "23.2", "fault"), "restarted,,,", "fault,,23.2,0.5"),
    (node(1, "1.000", "498.0", "micron", "23.2", "ok"), "ok,498 micron,23.2,1"),
    # version 2: what is in front does not touch the vacuum sensor
    (node(2, "1.500", "497.5", "micron", "23.2", "ok", "N2 1.2 kPa abs ok 1003.2 hPa"),
     "ok,497.5 micron,23.2,1.5"),
    (node(3, "2.000", "497.0", "micron", "23.2", "ok", "N2 - kPa gauge fault -"),
     "ok,497 micron,23.2,2"),
    (node(4, "2.500", "496.5", "micron", "23.2", "ok", "N2 - 1003.2 hPa"),
     "ok,496.5 micron,23.2,2.5"),
    (node(5, "3.000", ">25000", "micron", "-", "over", "N2 >4000 kPa gauge over 1003.2 hPa"),
     "over,25000 micron,,3"),
    # neither sensor is version 1; a bare unit; version 1 with what only version 2 has
    (node(6, "3.500", "496.0", "micron", "23.2", "ok", "N2 - -"), REJECTED),
    (node(7, "4.000", "495.5", "micron", "23.2", "ok", "N2 1.2 kPa ok 1003.2 hPa"), REJECTED),
    (node(8, "4.500", "495.0", "micron", "23.2", "ok", "N1 1.2 kPa abs ok 1003.2 hPa"), REJECTED),
    (node(9, "5.000", "494.5", "micron", "23.2", "ok", "N2 <1 kPa abs under -"),
     "3 missing,,,", "ok,494.5 micron,23.2,5"),
])


def node2(sequence, seconds, high, barometer="1003.2 hPa", temperature="22.4", vacuum=">25000"):
    state = "over" if vacuum != "-" else "fault"
    return node(sequence, seconds, vacuum, "micron", temperature, state, f"N2 {high} {barometer}")


write("node-pressure-line", [
    (node2(417, "208.500", "1101.3 kPa abs ok"), "ok,1101.3 kPa,22.4,208.5"),
    # without a barometer, with a vacuum sensor that is not well, without a temperature
    (node2(418, "209.000", "1101.25 kPa abs ok", barometer="-"), "ok,1101.25 kPa,22.4,209"),
    (node2(419, "209.500", "1101 kPa abs ok", vacuum="-"), "ok,1101 kPa,22.4,209.5"),
    (node2(420, "210.000", "1101.2 kPa abs ok", temperature="-"), "ok,1101.2 kPa,,210"),
    (node2(421, "210.500", ">4000 kPa abs over"), "over,4000 kPa,22.4,210.5"),
    (node2(422, "211.000", "<1 kPa abs under"), "under,1 kPa,22.4,211"),
    (node2(423, "211.500", "- kPa abs fault"), "fault,,22.4,211.5"),
    # counted from air whose pressure is not known here; no such sensor; version 1; a flipped bit
    (node2(424, "212.000", "1001.0 kPa gauge ok"), REJECTED),
    (node2(425, "212.500", "-"), REJECTED),
    (node(426, "213.000", "499.5", "micron", "22.4", "ok"), REJECTED),
    (node2(427, "213.500", "1101.1 kPa abs ok").replace(b"1101", b"1001"), REJECTED),
    (node2(428, "214.000", "1101.0 kPa abs ok"), "3 missing,,,", "ok,1101 kPa,22.4,214"),
])


def transmitter(value, unit, temperature, state):
    body = f"{value};{unit};{temperature};{state};".encode()
    return b"=" + body + b"%02X\r\n" % xor8(body)


# Without a barometer whatever counts from the air is refused; with one, see the tests.
write("pressure-temperature-line", [
    (transmitter("1.013", "bar abs", "22.4", "OK"), "ok,1.013 bar abs,22.4,"),
    (transmitter("1.013", "bar abs", "22.4", "OK"), "ok,1.013 bar abs,22.4,"),
    (transmitter("101.30", "kPa abs", "22.5", "ok"), "ok,101.30 kPa,22.5,"),
    (transmitter("14.69", "psi abs", "-5.0", "OK"), "ok,14.69 psia,-5,"),
    (transmitter("1.014", "bar abs", "", "OK"), "ok,1.014 bar abs,,"),
    (transmitter("1.014", "bar abs", "22.5", "OK"), "ok,1.014 bar abs,22.5,"),
    (transmitter("11.034", "bar abs", "23.1", "OK"), "ok,11.034 bar abs,23.1,"),
    (transmitter("1.1029", "MPa abs", "22.9", "OK"), "ok,1.1029 MPa,22.9,"),
    # counts from the air; may be either
    (transmitter("10.034", "bar gauge", "22.9", "OK"), REJECTED),
    (transmitter("145.53", "psi gauge", "22.9", "OK"), REJECTED),
    (transmitter("10.034", "bar", "22.9", "OK"), REJECTED),
    # above its range by its own word and by the number; beneath it; not well
    (transmitter("40.0", "bar abs", "22.8", "HI"), "over,41 bar abs,22.8,"),
    (transmitter("41.2", "bar abs", "22.8", "OK"), "over,41 bar abs,22.8,"),
    (transmitter("0.0", "bar abs", "22.8", "LO"), "under,,22.8,"),
    (transmitter("11.028", "bar abs", "22.8", "FLT"), "fault,,22.8,"),
    # a digit changed on the way; a state nobody wrote down
    (transmitter("11.028", "bar abs", "22.8", "OK").replace(b"028", b"038"), REJECTED),
    (transmitter("11.028", "bar abs", "22.8", "HMM"), REJECTED),
    (transmitter("11.027", "bar abs", "22.7", "OK"), "ok,11.027 bar abs,22.7,"),
])


# Modbus: one answer after the other, as the device sends them.
def rtu(payload, address=5):
    frame = bytes([address]) + payload
    return frame + struct.pack("<H", crc16_modbus(frame))


def four_registers(value, state, tenths):
    high, low = struct.unpack(">HH", struct.pack(">f", value))
    return rtu(b"\x03\x08" + struct.pack(">HHHh", low, high, state, tenths))


write("modbus-float-registers", [
    (four_registers(0.667, 0, 214), f"ok,{as_sent(0.667)} mbar,21.4,"),
    (four_registers(1013.25, 0, -15), f"ok,{as_sent(1013.25)} mbar,-1.5,"),
    (four_registers(100.0, 0x0001, 214), "over,,21.4,"),
    (four_registers(0.0001, 0x0002, 214), "under,,21.4,"),
    (four_registers(0.5, 0x0100, 214), "fault,,21.4,"),
    (four_registers(math.nan, 0, 214), REJECTED),
    # exception 2: no such register
    (rtu(b"\x83\x02"), REJECTED),
    (four_registers(0.2, 0x0010, 213), f"ok,{as_sent(0.2)} mbar,21.3,"),
])


def transmitter_registers(pascals, hundredths, state):
    return rtu(b"\x04\x08" + struct.pack(">IhH", pascals, hundredths, state), 9)


write("modbus-transmitter-registers", [
    (transmitter_registers(101_325, 2241, 0), "ok,101325 Pa,22.41,"),
    (transmitter_registers(1_103_400, 2317, 0), "ok,1103400 Pa,23.17,"),
    (transmitter_registers(1_102_900, -512, 0), "ok,1102900 Pa,-5.12,"),
    (transmitter_registers(4_000_000, 2300, 1), "over,41 bar abs,23,"),
    (transmitter_registers(4_200_000, 2300, 0), "over,41 bar abs,23,"),
    (transmitter_registers(0, 2300, 2), "under,,23,"),
    (transmitter_registers(1_102_000, 2300, 3), "fault,,23,"),
    (transmitter_registers(1_102_000, 2300, 4), BUSY),
    (transmitter_registers(1_102_000, 2300, 7), REJECTED),
    # exception 2: no such register
    (rtu(b"\x84\x02", 9), REJECTED),
    (transmitter_registers(1_101_900, 2289, 0), "ok,1101900 Pa,22.89,"),
])


def tcp(payload):
    # transaction 0; a server repeats the number of the question instead
    return struct.pack(">HHHB", 0, 0, len(payload) + 1, 1) + payload


def three_registers(*words):
    return tcp(b"\x04\x06" + struct.pack(">HHH", *words))


write("modbus-scaled-registers", [
    (three_registers(5123, 7, 0), "ok,512.3 micron,,"),
    (three_registers(666, 8, 0), "ok,66.6 Pa,,"),
    (three_registers(65535, 7, 1), "over,,,"),
    (three_registers(0, 7, 2), "under,,,"),
    (three_registers(5123, 7, 3), "fault,,,"),
    (three_registers(5123, 7, 4), "gap,,,"),
    (three_registers(5123, 7, 5), BUSY),
    (three_registers(5123, 6, 0), REJECTED),
    (tcp(b"\x84\x04"), REJECTED),
    (three_registers(1, 7, 0), "ok,0.1 micron,,"),
])
