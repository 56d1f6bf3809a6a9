#!/usr/bin/env python3
"""First inputs of every fuzz target, made from the samples and the tests.

    python3 tests/fuzz/seed.py FOLDER     writes FOLDER/<target>/<name>

They are where a corpus begins; `cargo fuzz cmin` makes it small. Standard
library only.
"""

import ast
import io
import hashlib
import pathlib
import random
import re
import struct
import sys
import tomllib
import zipfile
import zlib

TOP = pathlib.Path(__file__).resolve().parent.parent.parent
DIALECTS = sorted((TOP / "samples/dialects").glob("*.toml"))


def chosen(byte, names):
    """The dialect of a byte, as src/dialects.rs chooses it."""

    def key(name):
        value = 0x811C9DC5
        for b in [*name.encode(), byte]:
            value = ((value ^ b) * 0x01000193) & 0xFFFFFFFF
        return int.from_bytes(value.to_bytes(4, "little"), "big")

    return max(sorted(names), key=key)


def byte_of(name, names):
    return next(b for b in range(256) if chosen(b, names) == name)


def gauges(out):
    names = [path.stem for path in DIALECTS]
    texts = {path.stem: path.read_text() for path in DIALECTS}
    asking = [n for n in names if "[poll]" in texts[n] or "modbus" in tomllib.loads(texts[n]).get("speaks", "")]
    for name in names:
        capture = (TOP / f"samples/dialects/{name}.capture").read_bytes()
        which = byte_of(name, names)
        out("gauge_bytes", name, bytes([which, 3, 0]) + capture)
        for seed in range(3):
            random.seed(seed)
            fields = bytes(random.choice([0, 1, 2, random.randrange(256)]) for _ in range(60))
            out("gauge_bytes", f"{name}-dressed-{seed}", bytes([which, seed, 1]) + fields)
        out("dialect_text", name, texts[name].encode() + b"\0" + capture)
        if name in asking:
            which = byte_of(name, asking)
            out("asked_gauge", name, bytes([which, 3, 0]) + capture)
            out("asked_gauge", f"{name}-waits", bytes([which, 9, 0x12]) + capture)
            for block in [b"\1\1\0\7\0\0\0\0\0", b"\1\1\0\7\0\2\0\0\0", b"\0\1\0\7", b"\1\x3a\x5f\x44\x28\0\0\0\xd6"]:
                out("asked_gauge", f"{name}-{block.hex()}", bytes([which, 0, 1]) + block)


def dialect_tests(out):
    text = (TOP / "crates/sensor-reader/tests/dialect_errors.rs").read_text()
    for n, match in enumerate(re.findall(r'r#?"(.*?)"#?', text, re.S)):
        if len(match) > 12:
            out("dialect_text", f"test-{n}", match.encode() + b"\0" + b"512.3 micron\r\n")


def literals(path):
    """Every plain string literal of a Rust file, its escapes resolved."""
    for raw in re.findall(r'b?"((?:[^"\\]|\\.)*)"', path.read_text(), re.S):
        raw = re.sub(r"\\\n\s*", "", raw)
        raw = re.sub(r"\\u\{([0-9a-f]+)\}", lambda m: chr(int(m[1], 16)), raw)
        try:
            yield ast.literal_eval('"' + raw.replace("\n", "\\n") + '"')
        except (SyntaxError, ValueError):
            continue


def records(out):
    tables = [t for t in literals(TOP / "crates/foreign-csv/tests/import.rs") if "\n" in t]
    for crate in ["foreign-csv", "run-record"]:
        tests = TOP / "crates" / crate / "tests/never_panics.rs"
        tables += [t for t in literals(tests) if "\n" in t]
    for path in sorted((TOP / "samples/runs").glob("*.csv")):
        tables.append("".join(path.read_text().splitlines(True)[:40]))
    for n, table in enumerate(tables):
        for unit in [0, 1]:
            out("foreign_csv", f"table-{n}-{unit}", bytes([unit]) + table.encode("utf-8", "replace"))
        if n % 6 == 0:
            out("foreign_csv", f"utf16-{n}", b"\0" + table.encode("utf-16"))
            out("foreign_csv", f"cr-{n}", b"\0" + table.replace("\n", "\r").encode())
            out("foreign_csv", f"latin-{n}", b"\0" + table.encode("latin-1", "replace"))
    for folder in sorted((TOP / "samples/runs").iterdir()):
        if folder.is_dir():
            rows = (folder / "trace.csv").read_bytes().splitlines(True)
            out("trace_reader", f"{folder.name}", b"\0" + b"".join(rows[:25]))
            marks = [row for row in rows if b"ok" not in row]
            out("trace_reader", f"{folder.name}-marks", b"\0" + b"".join(rows[:1] + marks[:25]))
            out("job_file", folder.name, (folder / "job.toml").read_bytes())
    random.seed(4)
    out("trace_reader", "unedited", b"\1")
    for what in range(9):
        for n in range(4):
            edits = bytes([what]) + random.randbytes(3)
            out("trace_reader", f"edit-{what}-{n}", b"\1" + bytes([n * 7 // 3]) + edits * (1 + n % 2))
    out("job_file", "sample", (TOP / "samples/job.toml").read_bytes())
    for n, table in enumerate(literals(TOP / "crates/run-record/tests/job_file.rs")):
        if "=" in table:
            out("job_file", f"test-{n}", table.encode("utf-8", "replace"))


def keys(out):
    sample = (TOP / "samples/keys/INVENTED-shop.statement").read_bytes()
    first = (TOP / "samples/keys/INVENTED-first.pem").read_bytes()
    blocks = [block + b"\n}\n" for block in sample.split(b"\n}\n")[:-1]]
    out("key_files", "sample", b"\0" + sample)
    out("key_files", "crlf", b"\0" + sample.replace(b"\n", b"\r\n"))
    out("key_files", "key-before", b"\0" + first + blocks[0])
    out("key_files", "cut-off", b"\0" + sample[:900] + b"\n" + blocks[2])
    out("key_files", "swapped-signatures", b"\0" + swap(blocks[0]))
    out("key_files", "unedited", b"\1")
    random.seed(8)
    for n in range(4):
        out("key_files", f"edit-{n}", b"\1" + random.randbytes(3 * (1 + n)))
    text = "# a desk\n0123-4567-89ab-cdef-0123 2026-03-14 van # x\n\n0123-4567-89AB-cdef-0123 sold\n"
    out("key_files", "list", b"\2" + text.encode())
    out("key_files", "list-wrong-date", b"\2" + text.replace("-14", "-34").encode())
    tests = TOP / "crates/seal-keys/src/locked/tests.rs"
    blocks = re.findall(r"-----BEGIN [^\"]*?-----END [A-Z ]*-----\n", tests.read_text())
    for n, block in enumerate(blocks):
        out("key_files", f"locked-{n}", b"\3" + block.encode())


def swap(statement):
    """The signature of each key in the place of the other's."""
    signatures = re.findall(rb'signature_...": "([0-9a-f]*)"', statement)
    return statement.replace(signatures[0], b"?").replace(signatures[1], signatures[0]).replace(b"?", signatures[1])


def lines(out):
    vectors = (TOP / "firmware-notes/vectors.txt").read_text()
    for n, line in enumerate(vectors.splitlines()):
        found = re.search(r"N[12] .*", line)
        if found:
            out("node_line", f"vector-{n}", found[0].encode() + b"\n")
    random.seed(5)
    for n in range(12):
        out("node_line", f"fields-{n}", random.randbytes(40))


def requests(out):
    """Requests of the page, with and without what opens it."""
    text = (TOP / "tests/fuzz/src/page_requests.rs").read_text()
    known = dict(re.findall(r'const (\w+): &str = "(\w+)";', text))
    host, origin = "Host: 127.0.0.1:8431\r\n", "Origin: http://127.0.0.1:8431\r\n"
    cookies = [""] + [f"Cookie: dryhold-page-8431={known[n]}\r\n" for n in ("VIEW_SESSION", "MARK_SESSION")]
    lines = ["GET /", "HEAD /", "GET /stream", "GET /stream?after=1.0", "GET /nothing", "PUT /"]
    lines += [f"GET /?key={known[n]}" for n in ("VIEW", "MARK")]
    for n, cookie in enumerate(cookies):
        for m, line in enumerate(lines):
            out("page_requests", f"get-{n}-{m}", b"\1" + f"{line} HTTP/1.1\r\n{host}{cookie}\r\n".encode())
        for m, body in enumerate(['{"stamp":"s"}', '{"undo":7}', '{"note":"door open"}', '{"stop":1}', "{"]):
            head = f"POST /act HTTP/1.1\r\n{host}{origin}{cookie}Content-Type: application/json\r\n"
            whole = f"{head}Content-Length: {len(body)}\r\n\r\n{body}".encode()
            chunked = f"{head}Transfer-Encoding: chunked\r\n\r\n{len(body):x}\r\n{body}\r\n0\r\n\r\n".encode()
            out("page_requests", f"post-{n}-{m}", b"\1" + whole)
            out("page_requests", f"shows-only-{n}-{m}", b"\0" + whole)
            out("page_requests", f"chunked-{n}-{m}", b"\1" + chunked)


def runs(out):
    """Pull-down, hold with and without a rise, states and marks between."""
    down = bytes([0, 128, 200, 0x70, 0x00, 3])
    hold = bytes([0, 128, 250, 0x72, 0x00, 5])
    rise = bytes([0, 128, 250, 0x90, 0x00, 9])
    shut, stop, over, gap = bytes([5, 16, 1]), bytes([5, 16, 2]), bytes([4, 2, 0]), bytes([4, 200, 3])
    start = bytes([20, 0, 0xFC, 42, 0, 42, 0, 200, 0, 58])
    for n, parts in enumerate(
        [[down, shut, hold], [down, shut, stop, rise], [over, down, gap, shut, hold, gap, rise], [down, rise, down, shut, hold]]
    ):
        out("findings", f"run-{n}", start + b"".join(parts))
        out("findings", f"bare-{n}", bytes(8) + b"".join(parts))
    out("findings", "absurd", bytes(8) + b"\7\2\x7f\xef\xff\xff\xff\xff\xff\xff" + b"\7\0" + bytes(8) + b"\6\xff" + down)


def archives(out):
    """Run folders as programs pack them, and what is no run folder."""

    def packed(name, files, method=zipfile.ZIP_DEFLATED):
        bytes_ = io.BytesIO()
        with zipfile.ZipFile(bytes_, "w", method) as archive:
            for path, data in files:
                archive.writestr(zipfile.ZipInfo(path), data, compress_type=method)
        out("packed_run", name, bytes_.getvalue())
        return bytes_.getvalue()

    run = TOP / "samples/runs/20260315T140000Z-INVENTED-power-cut"
    trace, job = (run / "trace.csv").read_bytes()[:2000], (run / "job.toml").read_bytes()
    plain = [("trace.csv", trace), ("job.toml", job)]
    whole = packed("bare", plain)
    packed("folder", [("run/", b"")] + [("run/" + n, d) for n, d in plain])
    packed("stored", plain, zipfile.ZIP_STORED)
    packed("bomb", [("trace.csv", bytes(4 << 20))])
    packed("outside", plain + [("../x", b"x")])
    packed("twice", plain + [("TRACE.csv", b"x")])
    packed("deep", plain + [("a/b/c", b"x")])
    packed("packed-otherwise", plain, zipfile.ZIP_LZMA)
    out("packed_run", "cut", whole[: len(whole) // 2])


def logos(out):
    """Pictures as drawing programs save them, and the beginnings of harmful ones."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    def png(colour, channels, interlace=0):
        head = struct.pack(">IIBBBBB", 5, 3, 8, colour, 0, 0, interlace)
        rows = (b"\0" + bytes(range(5 * channels))) * 3
        return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")

    for colour, channels in [(0, 1), (2, 3), (4, 2), (6, 4)]:
        out("logo", f"png-{colour}", png(colour, channels))
        out("photo", f"png-{colour}", png(colour, channels))
    out("photo", "jpeg-begins", bytes.fromhex("ffd8ffe000104a46494600010100000100010000ffdb0043"))
    out("photo", "wide", png(2, 3).replace(struct.pack(">I", 5), struct.pack(">I", 60000), 1))
    svg = "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' viewBox='0 0 40 12'>%s</svg>"
    gradient = "<linearGradient id='l' gradientUnits='userSpaceOnUse'><stop offset='.2' stop-color='red'/><stop offset='1'/></linearGradient>"
    for name, inside in {
        "shapes": "<rect width='9' height='9' rx='2'/><circle r='4' opacity='.5'/><ellipse rx='3' ry='1'/><polygon points='1 2 3 4 5 0'/>",
        "path": "<path d='M1 2h3v4l5 6c1 2 3 4 5 6s1 2 3 4q1 2 3 4t5 6a1 2 3 1 0 4 5z' stroke='#123' stroke-dasharray='1 2'/>",
        "gradient": gradient + "<rect width='40' height='12' fill='url(#l)' transform='rotate(9 1 2) scale(.5)'/>",
        "cut": "<clipPath id='c'><circle cx='9' r='5'/></clipPath><g clip-path='url(#c)'><rect width='40' height='12'/></g>",
        "repeated": "<symbol id='s' viewBox='0 0 1 1'><path d='M0 0h1v1z'/></symbol><use href='#s' width='5'/><use xlink:href='#s' x='9'/>",
        "styled": "<style>.a{fill:red;stroke:#00f;stroke-width:2}</style><g class='a' style='opacity:.3'><path d='M0 0h9v9z'/></g>",
        "filter": "<filter id='f'><feGaussianBlur stdDeviation='9'/></filter><rect filter='url(#f)' width='9' height='9'/>",
        "outside": "<image href='/dev/zero' width='9' height='9'/><use href='x.svg#y'/>",
    }.items():
        out("logo", f"svg-{name}", (svg % inside).encode())


def time_stamps(out):
    """Stamps and certificates of an invented authority, whole and with edits."""
    random.seed(6)
    vectors = sorted((TOP / "crates/time-stamp/tests/vectors").iterdir())
    for path in vectors:
        data = path.read_bytes()
        out("time_stamp", path.name, data)
        for n in range(8):
            edited = bytearray(data)
            edited[random.randrange(len(edited))] = random.randrange(256)
            out("time_stamp", f"{path.name}-{n}", bytes(edited))
    # answers without a stamp: refused, and granted but empty
    out("time_stamp", "refused", bytes.fromhex("301230100201023007 0c05736f727279 03020780"))
    out("time_stamp", "empty", bytes.fromhex("30053003020100"))


def notes(out):
    """Chains as crates/rig-notes/FORMAT.md has them, unsigned."""
    header = "seq,utc,name,kind,text,link,key,signature"
    digest = hashlib.sha256(b"dryhold rig notes 1").hexdigest()
    link = hashlib.sha256((header + digest).encode()).hexdigest()[:16]
    rows = []
    for n, (kind, text) in enumerate([("oil-change", "fresh"), ("remark", '"a, ""b"""'), ("repair", "")]):
        row = f"{n + 1},2026-03-14T09:15:00.000Z,pump 1,{kind},{text}"
        link = hashlib.sha256((link + row).encode()).hexdigest()[:16]
        rows.append(f"{row},{link},,")
    whole = "\n".join([header, *rows, ""])
    out("rig_notes", "whole", whole.encode())
    out("rig_notes", "header-alone", (header + "\n").encode())
    out("rig_notes", "torn", whole[:-30].encode())
    out("rig_notes", "row-out", "\n".join([header, rows[0], rows[2], ""]).encode())
    out("rig_notes", "crlf", whole.replace("\n", "\r\n").encode())
    out("rig_notes", "wrong-key", whole.replace(",,\n", f",{'0' * 64},{'1' * 128}\n").encode())
    out("rig_notes", "other-table", b"time,pressure\n1,2\n")


def weights(out):
    """Captures of scales, whole, cut and with edits."""
    random.seed(8)
    paths = sorted((TOP / "samples/scales").glob("*.capture"))
    names = [path.stem for path in paths]
    for path in paths:
        which, capture = byte_of(path.stem, names), path.read_bytes()
        out("scale_bytes", path.stem, bytes([which, 3]) + capture[:4000])
        for n in range(12):
            start = random.randrange(max(1, len(capture) - 400))
            edited = bytearray(capture[start : start + 400])
            for _ in range(n):
                edited[random.randrange(len(edited))] = random.randrange(256)
            out("scale_bytes", f"{path.stem}-{n}", bytes([which, 7 * n]) + bytes(edited))


def faults(out):
    """What was seen of appliances, whole and with lines gone or twisted."""
    random.seed(9)
    for path in sorted((TOP / "samples/faults").glob("*.toml")):
        lines = path.read_text().splitlines()
        out("fault_file", path.stem, path.read_bytes())
        for n in range(6):
            kept = [line for line in lines if random.random() > 0.2]
            at = random.randrange(len(kept))
            kept[at] = re.sub("[0-9]", str(random.choice([9, "-1", "1e308", "nan"])), kept[at], count=1)
            out("fault_file", f"{path.stem}-{n}", "\n".join(kept).encode())
    out("fault_file", "nested", b"[ambient]\nc = 25\n")
    out("fault_file", "control", b'refrigerant = "R-600a\\u001b[2J"\nambient = "25"\n')


def main():
    folder = pathlib.Path(sys.argv[1])

    def out(target, name, data):
        path = folder / target
        path.mkdir(parents=True, exist_ok=True)
        (path / name).write_bytes(data)

    for make in [gauges, dialect_tests, records, keys, lines, requests, runs, archives, logos, time_stamps, notes, weights, faults]:
        make(out)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    main()
