"""How long signals take to become bales, against reading the same signals from their columns.

A rehearsed day of twelve signals at 20 to 100 a second is written as Parquet, one file a signal;
then, in one run, the columns are read (pyarrow, to NumPy) and cut into cycles and bales. Aim:
cutting takes no more than four times the reading. The first round of each is not counted.
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from balewright.records.cycles.bale_rows import to_bales
from balewright.records.cycles.cutting import cut_cycles, cut_pieces
from balewright.records.signals import Signal, Signals
from balewright.rehearsal.signals.habits import RICH, Spread
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day

RATES = {
    "chamber_closed": 20.0, "chamber_full": 20.0, "binding_on": 20.0, "binding_m": 20.0,
    "bale_on_wrapper": 20.0, "wrapper_on": 50.0, "wrap_turns": 50.0, "film1_m": 20.0,
    "bale_no": 1.0, "speed_m_s": 10.0, "pto_rpm": 100.0, "chamber_bar": 20.0,
}  # fmt: skip
ROUNDS = 5
COLUMNS = ("at_us", "values", "known", "error", "at")


def day_of(bales: int, seed: int) -> Signals:
    """A day as rehearsed."""
    habits = replace(RICH, rates=MappingProxyType(RATES), fill_s=Spread(20.0, 70.0))
    return rehearse_day(habits, bales, Trouble.NONE, np.random.default_rng(seed)).signals


def write(signals: Signals, folder: Path) -> None:
    """Each signal's columns as one file."""
    for name, one in signals.by_name.items():
        table = pa.table({column: getattr(one, column) for column in COLUMNS})
        pq.write_table(table, folder / f"{name}.parquet")


def read(folder: Path) -> Signals:
    """The columns as NumPy arrays."""
    by_name = {}
    for path in sorted(folder.glob("*.parquet")):
        table = pq.read_table(path)
        by_name[path.stem] = Signal(*(table[column].to_numpy() for column in COLUMNS))
    return Signals("day", "R-0001", MappingProxyType(by_name))


def pieces(signals: Signals, parts: int) -> list[Signals]:
    """The day in parts of as many messages."""
    most = max(int(one.at[-1]) for one in signals.by_name.values()) + 1
    edges = np.linspace(0, most, parts + 1).astype(int).tolist()
    found = []
    for low, high in pairwise(edges):
        by_name = {}
        for name, one in signals.by_name.items():
            first, behind = np.searchsorted(one.at, [low, high])
            by_name[name] = Signal(*(getattr(one, column)[first:behind] for column in COLUMNS))
        found.append(Signals("day", "R-0001", MappingProxyType(by_name)))
    return found


def best_s(work: Callable[[], object]) -> float:
    """The shortest of some rounds, the first not counted."""
    times = []
    for _ in range(ROUNDS + 1):
        gc.collect()
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times[1:])


def traced_mib(work: Callable[[], object]) -> float:
    """The most memory that some work takes beyond what was there."""
    tracemalloc.start()
    work()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 2**20


def cut(signals: Signals) -> int:
    """Signals to bales; how many."""
    return to_bales(cut_cycles(signals), signals)[0].rows


def cut_parts(parts: list[Signals]) -> int:
    """The same in pieces."""
    return sum(to_bales(*pair)[0].rows for pair in cut_pieces(parts))


def main() -> None:
    """Measure and print."""
    bales = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home)
        write(day_of(bales, 1), folder)
        signals = read(folder)
        rows = sum(one.samples for one in signals.by_name.values())
        size_mib = sum(path.stat().st_size for path in folder.iterdir()) / 2**20
        print(f"{len(signals.by_name)} signals, {rows} samples, {size_mib:.0f} MiB as Parquet")
        reading_s = best_s(lambda: read(folder))
        found = cut(signals)
        cutting_s = best_s(lambda: cut(signals))
        parts = pieces(signals, 40)
        in_pieces_s = best_s(lambda: cut_parts(parts))
        held = [traced_mib(lambda: cut(signals)), traced_mib(lambda: cut_parts(parts))]
    arrays_mib = rows * 26 / 2**20
    print(f"reading the columns {reading_s * 1e3:.0f} ms, {rows / reading_s / 1e6:.1f} M a second")
    a_second = rows / cutting_s / 1e6
    print(f"cutting {found} bales {cutting_s * 1e3:.0f} ms, {a_second:.1f} M a second")
    print(f"the same in 40 pieces {in_pieces_s * 1e3:.0f} ms")
    print(f"ratio {reading_s / cutting_s:.2f} of reading (aim 0.25 or better)")
    print(f"memory beside the signals ({arrays_mib:.0f} MiB): {held[0]:.0f} MiB")
    print(f"memory in pieces, kept samples with it: {held[1]:.0f} MiB")


if __name__ == "__main__":
    main()
