"""How fast files get in: against the engine's bare scan, and a dealer's year in bounded memory.

    python bench/intake.py [csv] [year] [small] [logs] [cycles]

Without a word all of it runs. Ratios are taken inside one run, the compared ones in turn; other
work on the machine slows both. Absolute numbers belong to one machine on one day.

csv: one invented file of 33 columns. The bare scan is DuckDB's `read_csv` with every column's type
given, written to Parquet (zstd): it splits, converts and writes. Ours is the whole intake into a
workplace that is open: copy, hash, every check of docs/bale-table.md, refusals, marks, ledger,
files flushed and listed; merging is timed beside it, since questions are answered before it as
after it.
year: a million bales of 200 machines, as they come: a file a day of 100 machines, a file a week
and machine of 50, a file a season of 50; taken in one after the other, merging as it falls due.
small: what merging does to the time of a question.
logs, cycles: `bench/isoxml/time_logs.py` and `bench/cycles.py`.
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from importlib.metadata import version
from pathlib import Path
from statistics import median

import duckdb
from read_csv import KINDS, header, invent

from balewright.flows import take_in_file as flow
from balewright.flows.compact_journal import CompactReport, compact_journal
from balewright.flows.workplace import Workplace
from balewright.readers.bale_csv import write_bale_csv
from balewright.records.bales import BaleTable, masked_table
from balewright.records.columns import BY_NAME
from balewright.settings import load_settings, open_workplace
from balewright.store.engine import Engine
from balewright.store.questions import ask_book, zone_offsets

HERE = Path(__file__).parent
ROUNDS = 5
CSV_ROWS = 200_000
MACHINES = 200
BALES_A_MACHINE = 5_000
DAYS = 100
WEEKS = 20
DAY_US = 86_400_000_000


@dataclass
class Times:
    """Seconds of each round, on the wall and of the processor."""

    wall: list[float] = field(default_factory=list)
    cpu: list[float] = field(default_factory=list)

    def add(self, work: Callable[[], object]) -> None:
        """Time one round."""
        wall, cpu = time.perf_counter(), time.process_time()
        work()
        self.wall.append(time.perf_counter() - wall)
        self.cpu.append(time.process_time() - cpu)


def workplace_at(home: Path) -> Workplace:
    """A new workplace."""
    return open_workplace(load_settings({"BALEWRIGHT_HOME": str(home)}))


def scan_duckdb(path: Path, target: Path, threads: int) -> None:
    """The engine's bare scan of a CSV into Parquet."""
    columns = ", ".join(f"'{name}': '{KINDS[BY_NAME[name].kind]}'" for name in header(path))
    with duckdb.connect() as scan:
        scan.execute(f"SET threads = {threads}")
        scan.execute(
            f"COPY (SELECT * FROM read_csv('{path}', columns = {{{columns}}}, "
            "auto_detect = false, header = true, skip = 1, delim = ',')) "
            f"TO '{target}' (FORMAT parquet, COMPRESSION zstd)"
        )


def take_in(path: Path, home: Path, whole: Times, merge: Times) -> None:
    """Take a file into a new workplace, which is made before and removed after.

    whole: what all of it took; merge: what merging took of it, timed apart.
    """
    workplace = workplace_at(home)
    settle, reports = flow.settle_intake, []
    flow.settle_intake = lambda *asked: merge.add(lambda: settle(*asked))
    try:
        whole.add(lambda: reports.append(flow.take_in_file(workplace, path)))
    finally:
        flow.settle_intake = settle
        workplace.register.close()
        shutil.rmtree(home)
    kept, refused = reports[0].kept, reports[0].refused
    if (kept, refused) != (CSV_ROWS, 0):
        raise SystemExit(f"kept {kept}, refused {refused} of {CSV_ROWS}")


def bench_csv(folder: Path) -> None:
    """CSV intake as a share of the bare scan."""
    path = folder / "bales.csv"
    write(invent(CSV_ROWS), path)
    scans = {1: Times(), 2: Times()}
    ours, merge = Times(), Times()
    take_in(path, folder / "warm", Times(), Times())
    for number in range(ROUNDS):
        for threads, times in scans.items():
            target = folder / f"{number}-{threads}.parquet"
            times.add(lambda target=target, threads=threads: scan_duckdb(path, target, threads))
        take_in(path, folder / f"home{number}", ours, merge)
    intake = Times(_less(ours.wall, merge.wall), _less(ours.cpu, merge.cpu))
    megabytes = path.stat().st_size / 1e6
    print(
        f"\nCSV: {CSV_ROWS} rows, {len(header(path))} columns, {megabytes:.0f} MB, {ROUNDS} rounds"
    )
    print("                              wall s (best, median)   cpu s (median)")
    rows = {"DuckDB scan, 1 thread": scans[1], "DuckDB scan, 2 threads": scans[2]}
    for name, times in {**rows, "intake": intake, "merging after it": merge}.items():
        best, middle = min(times.wall), median(times.wall)
        print(f"{name:30}{best:8.2f}{middle:8.2f}{median(times.cpu):17.2f}")
    for threads, times in scans.items():
        for name, whole in (("intake", intake), ("intake and merging", ours)):
            wall = [a / b for a, b in zip(times.wall, whole.wall, strict=True)]
            cpu = [a / b for a, b in zip(times.cpu, whole.cpu, strict=True)]
            told = f"{_spread(wall)} by wall, {_spread(cpu)} by cpu"
            print(f"share of the scan on {threads}: {name:19}{told}")


def _less(whole: list[float], part: list[float]) -> list[float]:
    return [a - b for a, b in zip(whole, part, strict=True)]


def _spread(ratios: list[float]) -> str:
    return f"{median(ratios):.2f} ({min(ratios):.2f} to {max(ratios):.2f})"


def write(table: BaleTable, path: Path) -> None:
    """A table as CSV."""
    with path.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(table, stream)


def dealer_year(folder: Path) -> list[Path]:
    """The files of a dealer's year, in the order they come."""
    season = invent(BALES_A_MACHINE)
    machines = [_of_machine(season, number) for number in range(MACHINES)]
    files: list[tuple[int, str, list[BaleTable]]] = []
    a_day, a_week = BALES_A_MACHINE // DAYS, BALES_A_MACHINE // WEEKS
    for day in range(DAYS):
        tables = [_rows(one, day * a_day, a_day) for one in machines[:100]]
        files.append((day, f"day{day:03d}", tables))
    for week in range(WEEKS):
        for number in range(100, 150):
            table = _rows(machines[number], week * a_week, a_week)
            files.append((week * 5 + 4, f"week{week:02d}-{number}", [table]))
    files += [(DAYS, f"season-{number}", [machines[number]]) for number in range(150, 200)]
    paths = []
    for _, name, tables in sorted(files, key=lambda one: one[0]):
        paths.append(folder / f"{name}.csv")
        write(_together(tables), paths[-1])
    return paths


def _of_machine(season: BaleTable, number: int) -> BaleTable:
    values = dict(season.values)
    values["machine"] = values["machine"].copy()
    values["machine"][:] = f"MW-{number:03d}"
    values["bale_no"] = values["bale_no"] + 1000 * number
    return masked_table(season.rows, values, season.known)


def _rows(table: BaleTable, first: int, count: int) -> BaleTable:
    part = slice(first, first + count)
    values = {name: array[part] for name, array in table.values.items()}
    return masked_table(count, values, {name: array[part] for name, array in table.known.items()})


def _together(tables: list[BaleTable]) -> BaleTable:
    from balewright.records.bales import concatenate  # noqa: PLC0415

    return tables[0] if len(tables) == 1 else concatenate(tables)


def bench_year(folder: Path) -> None:
    """A dealer's year in a process of its own, so that its peak memory is its own."""
    files = folder / "files"
    files.mkdir()
    paths = dealer_year(files)
    megabytes = sum(path.stat().st_size for path in paths) / 1e6
    print(f"\nA year: {MACHINES} machines, {len(paths)} files, {megabytes:.0f} MB")
    listed = folder / "files.txt"
    listed.write_text("\n".join(map(str, paths)))
    child = [sys.executable, __file__, "take", str(folder / "home"), str(listed)]
    subprocess.run(child, check=True)  # noqa: S603  this very file
    _question(folder / "home", "after it")
    shutil.rmtree(folder / "home")


def take_year(home: Path, listed: Path) -> None:
    """Take every file in, as a worker does: one after the other."""
    workplace = workplace_at(home)
    begun, cpu, kept = time.perf_counter(), time.process_time(), 0
    merge = Times()
    settle = flow.settle_intake
    flow.settle_intake = lambda *asked: merge.add(lambda: settle(*asked))
    for path in listed.read_text().splitlines():
        report = flow.take_in_file(workplace, Path(path))
        kept += report.kept
    taken = time.perf_counter() - begun
    report = compact_journal(workplace)
    whole = time.perf_counter() - begun
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    used = time.process_time() - cpu
    print(f"kept {kept} bales; taken in in {taken:.0f} s, of which merging {sum(merge.wall):.0f} s")
    print(f"with all merged at the end {whole:.0f} s ({_told(report)}); cpu {used:.0f} s")
    print(f"peak memory {peak_mb:.0f} MB; load {os.getloadavg()[0]:.1f}")
    workplace.register.close()


def _told(report: CompactReport) -> str:
    return f"{report.files[0]} files became {report.files[1]}"


def _question(home: Path, when: str) -> None:
    workplace = workplace_at(home)
    asked = ask_book(zone_offsets({}, 0, 2_000_000_000_000_000))
    of_one = replace(asked, machine="MW-007")
    for name, question in (("the whole book", asked), ("one machine's book", of_one)):
        times = Times()
        for _ in range(3):
            times.add(lambda question=question: Engine(workplace.journal).ask(question))
        print(f"{name}, {when}: {min(times.wall):.2f} s")
    workplace.register.close()


def bench_small(folder: Path) -> None:
    """The time of a question over many small files, and after merging."""
    files = folder / "small"
    files.mkdir()
    season = invent(20_000)
    home = folder / "small-home"
    workplace = workplace_at(home)
    settle, flow.settle_intake = flow.settle_intake, lambda *_: None
    for number in range(200):
        path = files / f"{number}.csv"
        write(_rows(_of_machine(season, 7), number * 100, 100), path)
        flow.take_in_file(workplace, path)
    flow.settle_intake = settle
    print("\nSmall files: 200 files of 100 bales of one machine")
    _question(home, "before merging")
    print(_told(compact_journal(workplace)))
    _question(home, "after merging")
    workplace.register.close()


def bench_other(script: str) -> None:
    """A benchmark that has a file of its own."""
    print(f"\n{script}", flush=True)
    subprocess.run([sys.executable, str(HERE / script)], check=False)  # noqa: S603


def main() -> None:
    """Run what was asked for."""
    words = sys.argv[1:] or ["csv", "year", "small", "logs", "cycles"]
    if words[0] == "take":
        take_year(Path(words[1]), Path(words[2]))
        return
    versions = ", ".join(f"{name} {version(name)}" for name in ("duckdb", "pyarrow", "numpy"))
    machine = f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}"
    print(f"Python {sys.version.split()[0]}, {versions}, {machine}")
    parts = {"csv": bench_csv, "year": bench_year, "small": bench_small}
    with tempfile.TemporaryDirectory() as folder:
        for word in words:
            if word in parts:
                parts[word](Path(folder))
    others = {"logs": "isoxml/time_logs.py", "cycles": "cycles.py"}
    for word in words:
        if word in others:
            bench_other(others[word])


if __name__ == "__main__":
    main()
