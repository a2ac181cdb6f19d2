"""The peers' part of compare.py, run by the Python of the peers' own environment.

    PYTHON peers.py FOLDER

FOLDER holds values.npy (machines, bales) and counts.npy, and expected.npy (events a bale). Prints
one line of JSON: nanoseconds of the processor a bale, and leaves the statistics of all windows,
bale by bale, beside the data. A peer that is not installed is left out.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

FOLDER = Path(sys.argv[1])
MACHINES = {"river": 20, "focus-cpt": 40, "changepoint-online": 2}


def clocked(name: str, rows: Any, walk: Callable[[Any], None]) -> dict[str, float]:
    """Nanoseconds a bale over the first machines."""
    some = rows[: MACHINES[name]]
    begin = time.process_time()
    for row in some:
        walk(row)
    return {"ns": (time.process_time() - begin) / some.size * 1e9, "machines": len(some)}


def river(values: Any) -> dict[str, float]:
    """Page-Hinkley, the nearest thing in a general streaming library, over plain floats."""
    from river.drift import PageHinkley  # noqa: PLC0415

    def walk(row: list[float]) -> None:
        detector = PageHinkley(min_instances=1, delta=0.5, threshold=8.0, alpha=1.0)
        for value in row:
            detector.update(value)

    plain = values[: MACHINES["river"]]
    rows = [row.tolist() for row in plain]
    begin = time.process_time()
    for row in rows:
        walk(row)
    return {"ns": (time.process_time() - begin) / plain.size * 1e9, "machines": len(rows)}


def focus(values: Any, counts: Any, expected: float) -> dict[str, dict[str, float]]:
    """The published all-window test in C++, both families, a whole series a call."""
    from focus_cpt import focus_offline  # noqa: PLC0415

    kept: dict[str, list[Any]] = {"level": [], "rate": []}

    def level(row: Any) -> None:
        given = focus_offline(
            row, threshold=np.inf, type="univariate", family="gaussian", theta0=0.0
        )
        kept["level"].append(given["stat"][:, 0])

    def rate(row: Any) -> None:
        given = focus_offline(
            row, threshold=np.inf, type="univariate", family="poisson", theta0=expected
        )
        kept["rate"].append(given["stat"][:, 0])

    times = {
        "level": clocked("focus-cpt", values, level),
        "rate": clocked("focus-cpt", counts, rate),
    }
    for name, rows in kept.items():
        np.save(FOLDER / f"focus-{name}.npy", np.array(rows))
    return times


def online(values: Any) -> dict[str, float]:
    """The published all-window test in Python, bale by bale."""
    from changepoint_online import Focus, Gaussian  # noqa: PLC0415

    kept = []

    def walk(row: Any) -> None:
        detector, statistics = Focus(Gaussian(loc=0)), []
        for value in row:
            detector.update(value)
            statistics.append(detector.statistic())
        kept.append(statistics)

    given = clocked("changepoint-online", values, walk)
    np.save(FOLDER / "online-level.npy", np.array(kept))
    return given


def main() -> None:
    """Run every peer that is installed."""
    values, counts = np.load(FOLDER / "values.npy"), np.load(FOLDER / "counts.npy")
    expected = float(np.load(FOLDER / "expected.npy"))
    told: dict[str, Any] = {}
    for name, run in (
        ("river", lambda: river(values)),
        ("focus-cpt", lambda: focus(values, counts, expected)),
        ("changepoint-online", lambda: online(values)),
    ):
        try:
            told[name] = run()
        except ImportError as missing:
            print(f"{name}: not installed ({missing})", file=sys.stderr)
    print(json.dumps(told))


if __name__ == "__main__":
    main()
