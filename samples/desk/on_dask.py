"""One table of many records by many machines, with Dask distributed.

    python on_dask.py PROGRAM FOLDER OUT.jsonl [options] [-- options of dryhold desk]

PROGRAM is dryhold, FOLDER is seen by every worker under the same path. The records are
split into parts; each part is a task: `dryhold desk FOLDER --json --part I/N`. Where FOLDER
is a file, it is a list of paths, one a line, as a store with an index gives it; then a task
is `dryhold desk - --json` with its share of the list on standard input. Both give the same
bytes wherever they run, so a task that was lost with its worker is simply run
again. The parts, one after the other, are the table; what only several records together
show (copied curves, serial numbers that come again) `dryhold desk --join` adds at the end.
"""

import argparse
import hashlib
import pathlib
import subprocess
import sys
import tempfile

from dask.distributed import Client, LocalCluster


def desk(program, arguments, stdin=b""):
    """What dryhold desk prints. What it complains of becomes the error of the task."""
    call = [program, "desk", *arguments]
    done = subprocess.run(call, input=stdin, capture_output=True, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"{' '.join(call)} ended with status {done.returncode}:\n{done.stderr.decode(errors='replace')}")
    return done.stdout


def share(lines, part, parts):
    """Part `part` of `parts`, from 1: the parts in their order are all lines."""
    return lines[len(lines) * (part - 1) // parts : len(lines) * part // parts]


def calls(asked):
    """Arguments and standard input of each part, in their order."""
    numbers = range(1, asked.parts + 1)
    if asked.source.is_dir():
        return [([str(asked.source), "--json", "--part", f"{part}/{asked.parts}", *asked.desk], b"") for part in numbers]
    paths = asked.source.read_bytes().splitlines(keepends=True)
    return [(["-", "--json", *asked.desk], b"".join(share(paths, part, asked.parts))) for part in numbers]


def alone(asked):
    """The whole table by one process."""
    if asked.source.is_dir():
        return desk(asked.program, [str(asked.source), "--json", *asked.desk])
    return desk(asked.program, ["-", "--json", *asked.desk], asked.source.read_bytes())


def arguments():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("source", metavar="FOLDER", type=pathlib.Path)
    parser.add_argument("out", type=pathlib.Path)
    parser.add_argument("--scheduler", help="address of a running scheduler; without it two workers are started here")
    parser.add_argument("--parts", type=int, default=8, help="tasks; some for each worker, so that all end together")
    parser.add_argument("--compare", action="store_true", help="do it once more in one process, and compare")
    own, rest = sys.argv[1:], []
    if "--" in own:
        own, rest = own[: own.index("--")], own[own.index("--") + 1 :]
    asked = parser.parse_args(own)
    asked.desk = rest
    return asked


def main():
    asked = arguments()
    with tempfile.TemporaryDirectory() as scratch:
        cluster = None
        if not asked.scheduler:
            cluster = LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, local_directory=scratch)
        with Client(asked.scheduler or cluster) as client:
            workers = len(client.scheduler_info()["workers"])
            # `pure`: the same call is the same result
            futures = [client.submit(desk, asked.program, *call, pure=True, retries=2) for call in calls(asked)]
            rows = pathlib.Path(scratch) / "rows.jsonl"
            with rows.open("wb") as out:
                for future in futures:
                    out.write(future.result())
        if cluster:
            cluster.close()
        table = desk(asked.program, ["--join", str(rows), "--json", *asked.desk])
    asked.out.write_bytes(table)
    rows = len(table.splitlines())
    print(f"{asked.out}: {rows} rows by {workers} workers in {asked.parts} parts")
    if asked.compare:
        whole = alone(asked)
        if whole != table:
            sys.exit(f"{asked.out}: not the bytes of one process ({len(table)} bytes here, {len(whole)} there)")
        print(f"the same {len(table)} bytes as by one process, SHA-256 {hashlib.sha256(table).hexdigest()}")


if __name__ == "__main__":
    main()
