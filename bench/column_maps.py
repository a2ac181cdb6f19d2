"""How fast a foreign table is read by a column map, as a share of our own form's speed.

`python bench/column_maps.py [rows]` writes one invented season twice into a folder of its own: as
our own CSV, and as another program would export it (semicolons, decimal commas, per cent, local
clock times of a zone with daylight saving, own words), with and without quotes round every cell.
Every reader is run seven times, turn about; the best of each counts.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

from balewright.readers.bale_csv import read_bale_csv
from balewright.readers.mapped.heads import source_of
from balewright.readers.mapped.map_text import keyed
from balewright.readers.mapped.matching import find_map, read_matched
from balewright.readers.reading import Reading
from balewright.records.column_map import ColumnMap, MappedColumn, Twice
from balewright.records.intake import Batch

ROUNDS = 7
COLUMNS = (
    *(("Maschine", "machine", ""), ("Ballen-Nr.", "bale_no", ""), ("Auftrag", "job", "")),
    *(("Beginn", "closed_at", ""), ("Klappe auf", "gate_open_at", ""), ("Ablage", "tipped_at", "")),
    *(
        ("Bindung", "binding", ""),
        ("Netzlagen", "binding_turns", ""),
        ("Netz [m]", "binding_m", ""),
    ),
    *(("Druck [bar]", "chamber_bar", "bar"), ("Umdrehungen", "wrap_turns", "")),
    *(("Folie 1 [m]", "film1_m", "m"), ("Folie 2 [m]", "film2_m", "m")),
    *(("Durchmesser [cm]", "diameter_m", "cm"), ("Gewicht [kg]", "mass_kg", "kg")),
    *(("Feuchte [%]", "moisture_frac", "%"), ("Geschw. [km/h]", "speed_m_s", "km_h")),
    *(("Zapfwelle", "pto_rpm", ""), ("Breite", "lat", ""), ("Länge", "lon", "")),
)
WORDS = {"net": "Netz", "film": "Folie"}


def write(folder: Path, rows: int) -> tuple[Path, Path, Path]:
    """The same bales in our own form, as another program's, and that with quotes."""
    rng = np.random.default_rng(7)
    paths = folder / "own.csv", folder / "theirs.csv", folder / "quoted.csv"
    start_s = 1_937_635_200  # 2031-05-27T00:00Z: no clock changes until October
    with paths[0].open("w") as own, paths[1].open("w") as theirs, paths[2].open("w") as quoted:
        own.write(",".join(target for _, target, _ in COLUMNS) + "\n")
        for file, mark in ((theirs, ""), (quoted, '"')):
            file.write(";".join(f"{mark}{head}{mark}" for head, _, _ in COLUMNS) + "\n")
        for row in range(rows):
            at = [start_s + row * 55 + late for late in (0, 30, 60)]
            x = rng.random(12)
            kind = "net" if x[0] < 0.8 else "film"
            held = [round(float(one), 2) for one in (3 + x[1], 20 + x[2], 100 + 50 * x[3])]
            turns, film1, film2 = 16, round(30 + float(x[4]), 1), round(30 + float(x[5]), 1)
            cm, kg, share = 125 + int(9 * x[6]), round(600 + 90 * float(x[7]), 1), int(400 * x[8])
            km_h = round(8 + 4 * float(x[9]), 1)
            lat, lon = round(53 + float(x[10]), 6), round(7 + float(x[11]), 6)
            stamps = np.array(at, dtype="datetime64[s]")
            local = [str(one + np.timedelta64(7200, "s")) for one in stamps]
            mine = [
                *("MW-07", row + 1, "Feld 3"), *(f"{one}Z" for one in stamps),
                *(kind, *held, turns, film1, film2, cm / 100, kg, share / 1000, km_h / 3.6),
                *(1000, lat, lon),
            ]  # fmt: skip
            foreign = [
                *("MW-07", row + 1, "Feld 3"),
                *(f"{o[8:10]}.{o[5:7]}.{o[:4]} {o[11:]}" for o in local),
                *(WORDS[kind], *held, turns, film1, film2, cm, kg, share / 10, km_h, 1000),
                *(lat, lon),
            ]  # fmt: skip
            own.write(",".join(map(str, mine)) + "\n")
            cells = [str(one).replace(".", ",") if isinstance(one, float) else str(one)
                     for one in foreign]  # fmt: skip
            theirs.write(";".join(cells) + "\n")
            quoted.write(";".join(f'"{one}"' for one in cells) + "\n")
    return paths


def their_map() -> ColumnMap:
    """How the other program's table is read."""
    words = tuple((theirs, ours) for ours, theirs in WORDS.items())
    columns = tuple(
        MappedColumn(head, place, target, unit, words if target == "binding" else ())
        for place, (head, target, unit) in enumerate(COLUMNS)
    )
    return keyed(
        ColumnMap(
            *("", "bench", columns),
            separator=";", decimal=",", day_order="dmy", zone="Europe/Berlin", twice=Twice.BY_ORDER,
        )
    )  # fmt: skip


def mapped(path: Path) -> Iterator[Batch]:
    """The table by its map, as the desk and the commands read it."""
    reading = Reading(maps=(their_map(),))
    source = source_of(path)
    match = find_map(source, reading)
    assert match is not None
    return read_matched(path, source.kind, match, reading)


def timed(read: Callable[[Path], Iterator[Batch]], path: Path, rows: int) -> float:
    """Seconds to read the whole file, all of it kept."""
    begun = time.perf_counter()
    batches = list(read(path))
    gone = time.perf_counter() - begun
    assert sum(batch.bales.rows for batch in batches) == rows, batches[0].refusals[:3]
    return gone


def main() -> None:
    """Write, read turn about, print rows a second and the ratios."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 200_000
    with tempfile.TemporaryDirectory() as folder:
        own, theirs, quoted = write(Path(folder), rows)
        todo = (("our own form", read_bale_csv, own), ("by a map", mapped, theirs),
                ("by a map, quoted", mapped, quoted))  # fmt: skip
        best = {name: float("inf") for name, _, _ in todo}
        for _ in range(ROUNDS):
            for name, read, path in todo:
                best[name] = min(best[name], timed(read, path, rows))
    for name, seconds in best.items():
        share = best["our own form"] / seconds
        print(f"{name:18} {rows / seconds:>10,.0f} rows/s  {share:.2f} of our own form")


if __name__ == "__main__":
    main()
