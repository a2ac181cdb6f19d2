"""How fast a bale table is read, against the bare scans of DuckDB and of Python's csv module.

    python bench/read_csv.py [rows]

Makes an invented file in a scratch folder, reads it in turn with each, and prints rows a second
and the ratio to DuckDB. The others convert (DuckDB) or only split (csv) the same file; neither
lists what it refused with a cure, checks ranges, or marks what is odd. Absolute numbers belong to
one machine on one day: the ratios are the thing to compare.
"""

from __future__ import annotations

import csv
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import duckdb
import numpy as np

from balewright.readers.bale_csv import read_bale_csv, write_bale_csv
from balewright.records.bales import BaleTable, bale_table
from balewright.records.columns import BY_NAME, Kind

SEED = 20310614
ROUNDS = 3
NAMES = (
    *("machine", "bale_no", "job", "closed_at", "full_at", "bind_end_at", "gate_open_at"),
    *("wrap_start_at", "wrap_end_at", "tipped_at", "binding", "binding_m", "gate_opening_mm"),
    *("wrap_turns", "film1_m", "film2_m", "film1_breaks", "film2_breaks", "rolls_on"),
    *("diameter_m", "mass_kg", "moisture_frac", "moisture_how", "mode", "status", "tip_side"),
    *("crop", "speed_m_s", "pto_rpm", "supply_min_v", "lat", "lon", "codes"),
)
KINDS = {
    Kind.TEXT: "VARCHAR",
    Kind.INT: "BIGINT",
    Kind.FLOAT: "DOUBLE",
    Kind.TIME: "TIMESTAMPTZ",
}
DECIMALS = {"lat": 6, "lon": 6, "moisture_frac": 3}


def invent(rows: int) -> BaleTable:
    """A season of four machines with 33 columns, a tenth of the sensed cells unknown."""
    chance = np.random.default_rng(SEED)
    start = 1_940_000_000_000_000 + np.arange(rows) * 70_000_000
    columns: dict[str, Any] = {}
    for place, name in enumerate(NAMES):
        column = BY_NAME[name]
        if column.kind is Kind.TIME:
            columns[name] = (start + place * 5_000_000).tolist()
        elif column.choices:
            columns[name] = chance.choice(column.choices, rows).tolist()
        elif column.kind is Kind.TEXT:
            columns[name] = chance.choice([f"{name}-{one}" for one in range(9)], rows).tolist()
        elif column.kind is Kind.INT:
            columns[name] = chance.integers(int(column.low or 0), 3, rows).tolist()
        else:
            low, high = column.low or 0.0, column.high or 0.0
            cells = np.round(chance.uniform(low, high, rows), DECIMALS.get(name, 2))
            columns[name] = np.where(chance.random(rows) < 0.1, np.nan, cells).tolist()
    columns["machine"] = [f"MW-{4 * row // rows}" for row in range(rows)]
    columns["bale_no"] = list(range(rows))
    return bale_table(rows, columns)


def read_ours(path: Path) -> int:
    """Rows by our reader, everything checked."""
    return sum(batch.bales.rows for batch in read_bale_csv(path))


def read_duckdb(path: Path) -> int:
    """Rows by DuckDB's scan on one thread, all columns converted into its own table."""
    columns = ", ".join(f"'{name}': '{KINDS[BY_NAME[name].kind]}'" for name in header(path))
    with duckdb.connect() as scan:
        scan.execute("SET threads = 1")
        scan.execute(
            f"CREATE TABLE bales AS SELECT * FROM read_csv('{path}', columns = {{{columns}}}, "
            "auto_detect = false, header = true, skip = 1, delim = ',')"
        )
        found = scan.execute("SELECT count(*) FROM bales").fetchone()
    return int(found[0]) if found else 0


def read_csv_module(path: Path) -> int:
    """Rows by Python's csv module, split only."""
    with path.open(newline="", encoding="utf-8") as stream:
        return sum(1 for _ in csv.reader(stream)) - 2


def header(path: Path) -> list[str]:
    """The names in the second line."""
    with path.open(encoding="utf-8") as stream:
        stream.readline()
        return stream.readline().strip().split(",")


def time_best(read: Callable[[Path], int], path: Path, rows: int) -> float:
    """Seconds of the best of some rounds; the count of rows must be right."""
    best = float("inf")
    for _ in range(ROUNDS):
        begun = time.perf_counter()
        counted = read(path)
        best = min(best, time.perf_counter() - begun)
        if counted != rows:
            raise SystemExit(f"{read.__name__} found {counted} of {rows} rows")
    return best


def main() -> None:
    """Make the file, read it three ways, print the table."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bales.csv"
        with path.open("w", encoding="utf-8", newline="") as stream:
            write_bale_csv(invent(rows), stream)
        size_mb = path.stat().st_size / 1e6
        print(f"{rows} rows, {len(NAMES)} columns, {size_mb:.0f} MB, best of {ROUNDS}")
        print("reader          s   rows/s     MB/s   of DuckDB")
        readers = (read_duckdb, read_csv_module, read_ours)
        seconds = {read.__name__: time_best(read, path, rows) for read in readers}
    for name, taken in seconds.items():
        share = seconds["read_duckdb"] / taken
        print(f"{name:15} {taken:4.1f} {rows / taken:8.0f} {size_mb / taken:8.1f} {share:9.2f}")
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak of the process, the making of the file included: {peak_mb:.0f} MB")


if __name__ == "__main__":
    main()
