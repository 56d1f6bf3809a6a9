"""Questions to the Parquet files of a desk, asked twice: in SQL (DuckDB) and with Polars.

    python queries.py CLAIMS.parquet [CLAIMS.jsonl]

CLAIMS-rounds.parquet stands beside it. Each question prints its answer; it is an error when
the two answers differ. With the JSON lines of the same table the counts are compared with
those too, and every path is looked for with pyarrow.
"""

import collections
import json
import math
import pathlib
import sys

import duckdb
import polars as pl
import pyarrow.parquet as pq

# name, SQL, the same for Polars; `claims` and `rounds` are the files
QUESTIONS = [
    (
        "How many of each verdict, and how many of them are flagged?",
        """SELECT coalesce(verdict, 'none') AS verdict, count(*) AS records, count(*) FILTER (flagged) AS flagged
           FROM claims GROUP BY 1 ORDER BY 1""",
        lambda claims, rounds: claims.group_by(pl.col("verdict").fill_null("none"))
        .agg(records=pl.len(), flagged=pl.col("flagged").sum())
        .sort("verdict"),
    ),
    (
        "Which flags are there, and how often?",
        """SELECT flag, count(*) AS records FROM (SELECT unnest(flags) AS flag FROM claims)
           GROUP BY 1 ORDER BY records DESC, flag""",
        lambda claims, rounds: claims.select(flag=pl.col("flags").list.explode())
        .drop_nulls()
        .group_by("flag")
        .agg(records=pl.len())
        .sort(["records", "flag"], descending=[True, False]),
    ),
    (
        "What was seen of copied curves, and in which other records?",
        """SELECT path, e.words, array_to_string(e."with", ' ') AS others
           FROM (SELECT path, unnest(evidence) AS e FROM claims) WHERE e.flag = 'curve_copied' ORDER BY path, others""",
        lambda claims, rounds: claims.select("path", e=pl.col("evidence"))
        .explode("e")
        .filter(pl.col("e").struct.field("flag") == "curve_copied")
        .select(
            "path",
            words=pl.col("e").struct.field("words"),
            others=pl.col("e").struct.field("with").list.join(" "),
        )
        .sort(["path", "others"]),
    ),
    (
        "How low do the last pull-downs get, by verdict of the record?",
        """SELECT coalesce(claims.verdict, 'none') AS verdict, count(*) AS rounds,
                  median(rounds.lowest_micron) AS median_lowest_micron
           FROM rounds JOIN claims USING (path) WHERE is_last GROUP BY 1 ORDER BY 1""",
        lambda claims, rounds: rounds.filter(pl.col("is_last"))
        .join(claims.select("path", of_record="verdict"), on="path")
        .group_by(verdict=pl.col("of_record").fill_null("none"))
        .agg(rounds=pl.len(), median_lowest_micron=pl.col("lowest_micron").median())
        .sort("verdict"),
    ),
    (
        "Records a month, and the median leak of those that fail?",
        """SELECT strftime(started, '%Y-%m') AS month, count(*) AS records,
                  median(leak_micron_per_min) FILTER (verdict = 'fail') AS median_leak_micron_per_min
           FROM claims WHERE started IS NOT NULL GROUP BY 1 ORDER BY 1""",
        lambda claims, rounds: claims.drop_nulls("started")
        .group_by(month=pl.col("started").dt.strftime("%Y-%m"))
        .agg(
            records=pl.len(),
            median_leak_micron_per_min=pl.col("leak_micron_per_min").filter(pl.col("verdict") == "fail").median(),
        )
        .sort("month"),
    ),
]


def same(one, other):
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-12)
    return one == other


def ask(claims_path, rounds_path):
    connection = duckdb.connect()
    connection.execute("SET TimeZone = 'UTC'")
    for name, path in (("claims", claims_path), ("rounds", rounds_path)):
        connection.read_parquet(str(path)).create_view(name)
    claims, rounds = pl.read_parquet(claims_path), pl.read_parquet(rounds_path)
    answers = []
    for question, sql, with_polars in QUESTIONS:
        relation = connection.sql(sql)
        columns, by_duckdb = relation.columns, relation.fetchall()
        frame = with_polars(claims, rounds)
        by_polars = frame.rows()
        print(f"\n{question}\n  {' | '.join(columns)}")
        for row in by_duckdb[:12]:
            print("  " + " | ".join("–" if cell is None else str(cell) for cell in row))
        agree = len(by_duckdb) == len(by_polars) and all(
            len(a) == len(b) and all(map(same, a, b)) for a, b in zip(by_duckdb, by_polars)
        )
        if columns != frame.columns or not agree:
            sys.exit(f"{question}: DuckDB and Polars differ:\n{columns} {by_duckdb}\n{frame.columns} {by_polars}")
        answers.append(by_duckdb)
    return answers


def compare(claims_path, rounds_path, lines_path, answers):
    """The same counts from the JSON lines, by plain Python."""
    lines = [json.loads(line) for line in lines_path.read_text(encoding="utf-8").splitlines()]
    verdicts = collections.Counter(line["verdict"] or "none" for line in lines)
    flags = collections.Counter(flag["code"] for line in lines for flag in line["flags"])
    checks = [
        ("verdicts", {verdict: records for verdict, records, _ in answers[0]}, dict(verdicts)),
        ("flags", dict(answers[1]), dict(flags)),
        ("paths", pq.read_table(claims_path, columns=["path"])["path"].to_pylist(), [line["path"] for line in lines]),
        ("rounds", pq.read_metadata(rounds_path).num_rows, sum(len(line["rounds"]) for line in lines)),
    ]
    for what, parquet, json_lines in checks:
        if parquet != json_lines:
            sys.exit(f"{what}: {parquet} in the Parquet files, {json_lines} in the JSON lines")
    said = {key.decode(): value.decode() for key, value in pq.read_metadata(claims_path).metadata.items()}
    print(f"\n{len(lines)} rows as in the JSON lines, made by {said['made_by']}, personal data {said['personal_data']}")


def main():
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    claims = pathlib.Path(sys.argv[1])
    rounds = claims.with_name(f"{claims.stem}-rounds.parquet")
    answers = ask(claims, rounds)
    if len(sys.argv) == 3:
        compare(claims, rounds, pathlib.Path(sys.argv[2]), answers)


if __name__ == "__main__":
    main()
