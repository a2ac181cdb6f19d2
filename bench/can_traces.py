"""How fast traces are read, as a multiple of python-can's own readers in the same run.

`python bench/can_traces.py [frames]` writes one invented bus in the forms that python-can writes,
into a folder of its own. `frames`: ours into columns, against python-can's messages counted and
thrown away. `trace`: all of `open_trace` on a Mossgrinder M2's bus (27 signals), against the same.
Best of three, turn about.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import can
import numpy as np

from balewright.readers.can.notes import Notes
from balewright.readers.can.open_frames import open_frames
from balewright.readers.can.trace import open_trace
from balewright.readers.profile import shipped_profiles
from balewright.readers.reading import Reading

ROUNDS = 3
T0 = 1_938_763_800.0
FORMS: dict[str, tuple[str, Callable[[str], Any], Callable[[str], Any]]] = {
    "candump": (".log", can.CanutilsLogWriter, can.CanutilsLogReader),
    "asc": (".asc", can.ASCWriter, can.ASCReader),
    "trc": (".trc", can.TRCWriter, can.TRCReader),
    "blf": (".blf", can.BLFWriter, can.BLFReader),
    "csv": (".csv", can.CSVWriter, can.CSVReader),
}
GROUPS = (0xFF11, 0xFF12, 0xFF13, 0xFF14, 0xFF15, 65097, 65091, 129025, 65265, 0xEF00)


def messages(count: int) -> list[can.Message]:
    """A bus with a frame each 0.7 ms: the machine's own, the tractor's, others'."""
    rng = np.random.default_rng(3)
    data = rng.integers(0, 256, (count, 8), np.uint8)
    which = rng.integers(0, len(GROUPS), count)
    return [
        can.Message(
            timestamp=T0 + row * 0.0007,
            arbitration_id=6 << 26 | GROUPS[which[row]] << 8 | 0x2A,
            is_extended_id=True,
            data=data[row].tobytes(),
        )
        for row in range(count)
    ]


def timed(work: Callable[[], int], wanted: int) -> float:
    """Seconds of one run that must find all frames."""
    start = time.perf_counter()
    assert work() == wanted
    return time.perf_counter() - start


def main(count: int) -> None:
    """Write, read, print."""
    some = messages(count)
    m2 = Reading(machine="M2-1", profile=shipped_profiles()["mossgrinder-m2"])
    with tempfile.TemporaryDirectory() as folder:
        for form, (ending, writer, reader) in FORMS.items():
            path = Path(folder) / f"bus{ending}"
            with writer(str(path)) as out:
                for message in some:
                    out.on_message_received(message)

            def frames(path: Path = path) -> int:
                return sum(block.rows for block in open_frames(path, Notes("bus")).frames)

            def trace(path: Path = path) -> int:
                return open_trace(path, m2).frames

            def library(path: Path = path, reader: Callable[[str], Any] = reader) -> int:
                with reader(str(path)) as found:
                    return sum(1 for _ in found)

            best = {"frames": 1e9, "trace": 1e9, "library": 1e9}
            for _ in range(ROUNDS):
                for name, work in (("frames", frames), ("trace", trace), ("library", library)):
                    best[name] = min(best[name], timed(work, count))
            print(
                f"{form:8} frames {count / best['frames']:>10,.0f}/s "
                f"({best['library'] / best['frames']:.2f} x python-can)   "
                f"trace {count / best['trace']:>10,.0f}/s "
                f"({best['library'] / best['trace']:.2f} x python-can)"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300_000)
