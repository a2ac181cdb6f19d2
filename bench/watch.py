"""How long the whole watch of a fleet takes, and whether its memory stays bounded.

    python bench/watch.py [--machines 5000] [--bales 5000] [--folder FOLDER] [--processes 2]

Column files of the journal's schema, one a bucket of 40 machines, are written once (a few rehearsed
seasons of every make, repeated under other serials: what a bale costs does not depend on whose it
is). Then each of these runs in processes of its own, bucket by bucket, and prints its time and the
most memory that its processes ever held, added up (what they share is counted in each): reading
the columns alone; the whole watch of a fifth of the fleet; the whole watch of all of it. Whole
buckets are taken: ask for five times 40 machines or a multiple of it.
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import resource
import subprocess
import sys
import tempfile
import time
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.findings.playing import draw_one, kind_of, season_plan

from balewright.findings.watch.kind import Kind
from balewright.findings.watch.watch import WatchedMachine, watch
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable
from balewright.rehearsal.season import rehearse_season
from balewright.store.arrow import bales_from_arrow, bales_to_arrow, how_to_write, versioned

IN_A_BUCKET, EACH_MAKE = 40, 6
"""Machines in a bucket; rehearsed seasons of each make."""
LEFT_OUT = ("lat", "lon", "operator", "tip_side", "crop")
"""Columns that no check and no measure looks at."""


@lru_cache(maxsize=1)
def players() -> tuple[tuple[str, Machine, Sheet], ...]:
    """The make, the machine with its sensors and the sheet of each season written."""
    drawn = [
        draw_one(key, np.random.default_rng([700_000 + nth, place]))
        for nth in range(EACH_MAKE)
        for place, key in enumerate(shipped_profiles())
    ]
    return tuple((one.key, one.player.machine, one.sheet) for one in drawn)


def write_files(folder: Path, machines: int, bales: int) -> list[Path]:
    """A file a bucket; those that are there already are kept."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = [folder / f"bucket_{n:03}_{bales}.parquet" for n in range(-(-machines // IN_A_BUCKET))]
    if all(path.exists() for path in paths):
        return paths
    seasons = []
    for nth in range(EACH_MAKE):
        for place, key in enumerate(shipped_profiles()):
            drawn = draw_one(key, np.random.default_rng([700_000 + nth, place]))
            chance = np.random.default_rng([700_000 + nth, place, 2])
            played = rehearse_season((drawn.player,), season_plan(bales), chance)
            seasons.append(bales_to_arrow(played.bales))
    for number, path in enumerate(paths):
        if path.exists():
            continue
        tables = []
        for machine in range(number * IN_A_BUCKET, min((number + 1) * IN_A_BUCKET, machines)):
            one = seasons[machine % len(seasons)]
            serial = pa.array([f"B-{machine:05}"] * one.num_rows, pa.string())
            tables.append(one.set_column(one.schema.get_field_index("machine"), "machine", serial))
        table = pa.concat_tables(tables)
        schema = versioned(table.schema)
        half = path.with_suffix(".part")
        pq.write_table(table.cast(schema), half, **how_to_write(schema))
        half.rename(path)
        sys.stderr.write(f"\r{number + 1} of {len(paths)} files ")
    sys.stderr.write("\n")
    return paths


def read_bucket(path: Path) -> BaleTable:
    """The columns that the watch needs, as it takes them."""
    names = [name for name in pq.read_schema(path).names if name not in LEFT_OUT]
    return bales_from_arrow(pq.read_table(path, columns=names))


def only_read(path: Path) -> tuple[int, int]:
    """Rows of a bucket, and no finding."""
    return read_bucket(path).rows, 0


def watch_bucket(path: Path) -> tuple[int, int]:
    """Rows of a bucket and what was told of them."""
    bales = read_bucket(path)
    serials = bales.column("machine")
    edges = np.flatnonzero(np.r_[True, serials[1:] != serials[:-1], True])
    told = 0
    for first, end in pairwise(edges):
        serial = str(serials[first])
        key, machine, sheet = players()[int(serial[2:]) % len(players())]
        about = WatchedMachine(serial, machine, {"s": sheet}, (), kinds()[key])
        told += len(watch(bales.take(np.arange(first, end)), about).findings)
    return bales.rows, told


@lru_cache(maxsize=1)
def kinds() -> dict[str, Kind]:
    """What is usual for each make."""
    return {key: kind_of(key) for key in shipped_profiles()}


def held_kib() -> int:
    """The most memory this process ever held."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def counted(asked: tuple[str, Path]) -> tuple[int, int, int, int]:
    """Rows of a bucket, what was told, which process did it and the most that one ever held."""
    doing, path = asked
    rows, told = (only_read if doing == "read" else watch_bucket)(path)
    return rows, told, os.getpid(), held_kib()


def begin(sample: Path) -> None:
    """What each process does first, uncounted: compile, on one machine."""
    serial, machine, sheet = "B-00000", *players()[0][1:]
    first = pq.ParquetFile(sample).iter_batches(400)
    bales = bales_from_arrow(pa.Table.from_batches([next(first)]))
    watch(bales, WatchedMachine(serial, machine, {"s": sheet}, (), kinds()[players()[0][0]]))


def run(paths: list[Path], doing: str, processes: int) -> None:
    """One measured run over all buckets; prints rows, findings, seconds and MiB."""
    kinds()  # once, before the processes part
    rows = told = 0
    held: dict[int, int] = {}
    context = multiprocessing.get_context("fork")
    with context.Pool(processes, begin, (paths[0],)) as pool:
        pool.map(abs, range(processes), 1)
        begun = time.perf_counter()
        for more, found, process, kib in pool.imap_unordered(
            counted, [(doing, path) for path in paths]
        ):
            rows, told = rows + more, told + found
            held[process] = max(held.get(process, 0), kib)
        seconds = time.perf_counter() - begun
    mib = (held_kib() + sum(held.values())) / 1024.0
    sys.stdout.write(f"{rows} {told} {seconds:.2f} {mib:.0f}\n")


def measured(folder: Path, doing: str, options: argparse.Namespace, machines: int) -> list[float]:
    """Rows, findings, seconds and MiB of a run in a process of its own."""
    asked = [sys.executable, __file__, "--folder", str(folder), "--machines", str(machines),
             "--bales", str(options.bales), "--processes", str(options.processes),
             "--doing", doing]  # fmt: skip
    done = subprocess.run(asked, check=True, capture_output=True, text=True)  # noqa: S603
    return [float(word) for word in done.stdout.split()]


def main() -> None:
    """Write what is missing, run, and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--machines", type=int, default=5000)
    parser.add_argument("--bales", type=int, default=5000)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir(), "bench_watch"))
    parser.add_argument("--doing", choices=("read", "watch"), help=argparse.SUPPRESS)
    options = parser.parse_args()
    paths = write_files(options.folder, options.machines, options.bales)
    if options.doing:
        run(paths, options.doing, options.processes)
        return
    print("| run | machines | bales | seconds | microseconds a bale | MiB at most | told |")
    print("|---|---|---|---|---|---|---|")
    for label, doing, machines in (
        ("reading the columns", "read", options.machines),
        ("watch, a fifth", "watch", options.machines // 5),
        ("watch", "watch", options.machines),
    ):
        rows, told, seconds, mib = measured(options.folder, doing, options, machines)
        print(
            f"| {label} | {machines} | {rows:.0f} | {seconds:.1f} | {1e6 * seconds / rows:.2f} | "
            f"{mib:.0f} | {told:.0f} |",
            flush=True,
        )


if __name__ == "__main__":
    main()
