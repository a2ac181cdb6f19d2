"""How fast the race of chamber and wrapper is run, against NumPy and against processes.

    python bench/pace.py [--runs N] [--bales N] [--processes N]

One machine with turns, rolls, grease and film breaks, all draws given. Four ways to the same finish
times in one run: the compiled recurrence; NumPy bale by bale, a vector over the runs; NumPy over
whole blocks of runs at once (without a buffer the race begins anew for every bale, so that the
clock is a running sum of maxima; in place, in blocks that stay in the cache); and two processes of
a general library for discrete events. Each best of several; the ratio to NumPy is that to the
faster one. Both NumPy ways give finish times only, the recurrence also who waited how long.
Prints a table in Markdown and ends with 1 where any finish time differs.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from balewright.plan.pace.chance import Times, race_times, times_of
from balewright.plan.pace.closed import mean_cycle_s
from balewright.plan.pace.variation import Variation, draw_factors
from plan.pace.as_processes import run_processes
from plan.pace.examples import PLAIN, RACED

CELLS = 32_768
"""Bales to a block of the block-wise NumPy; the fastest of 1024 to 32,768."""


def by_bale(times: Times) -> NDArray[np.float64]:
    """NumPy, bale by bale, a vector over the runs; arrays laid out (bales, runs) beforehand."""
    turned = [np.ascontiguousarray(one.T) for one in times.drawn]
    return _by_bale(times, *turned)


def _by_bale(times: Times, *turned: NDArray[np.float64]) -> NDArray[np.float64]:
    fill, bind, gate, wrap, tip, lost = turned
    bales, runs = fill.shape
    finish = np.empty((bales, runs))
    starts, free, opens, away = (np.zeros(runs) for _ in range(4))
    for bale in range(bales):
        np.add(starts, fill[bale], out=opens)
        opens += bind[bale]
        opens += times.chamber_stop_s[bale]
        np.maximum(opens, free, out=opens)
        np.add(lost[bale], times.machine_stop_s[bale], out=away)
        away += opens
        np.add(away, gate[bale], out=starts)
        np.add(away, wrap[bale], out=free)
        free += tip[bale]
        free += times.wrapper_stop_s[bale]
        finish[bale] = free
    return finish


def by_block(times: Times) -> NDArray[np.float64]:
    """NumPy over blocks: the gate opens at a running sum of max(chamber, wrapper)."""
    finish = np.empty_like(times.fill_s)
    runs, bales = finish.shape
    rows = max(1, min(runs, CELLS // bales))
    columns = max(1, min(bales, CELLS))
    room = np.empty((2, rows, columns))
    machine, wrapping = times.machine_stop_s, times.machine_stop_s + times.wrapper_stop_s
    for first in range(0, runs, rows):
        here = slice(first, min(first + rows, runs))
        count = here.stop - first
        clock, before = np.zeros(count), np.zeros(count)
        for left in range(0, bales, columns):
            these = slice(left, min(left + columns, bales))
            wide = these.stop - left
            bound, opens = room[0, :count, :wide], room[1, :count, :wide]
            wrapper = finish[here, these]
            np.add(times.wrap_s[here, these], times.tip_s[here, these], out=wrapper)
            wrapper += times.lost_s[here, these]
            wrapper += wrapping[these]
            np.add(times.fill_s[here, these], times.bind_s[here, these], out=bound)
            bound += times.chamber_stop_s[these]
            skip = 1 if left == 0 else 0
            past = slice(left - 1 + skip, these.stop - 1)
            bound[:, skip:] += times.gate_s[here, past]
            bound[:, skip:] += times.lost_s[here, past]
            bound[:, skip:] += machine[past]
            np.maximum(bound[:, 1:], wrapper[:, :-1], out=opens[:, 1:])
            np.maximum(bound[:, 0], before, out=opens[:, 0])
            opens[:, 0] += clock
            np.cumsum(opens, axis=1, out=opens)
            clock, before = opens[:, -1].copy(), wrapper[:, -1].copy()
            wrapper += opens
    return finish


def best_s(task: Callable[[], object], times: int = 7) -> float:
    """Shortest of several runs, the first thrown away."""
    task()
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        task()
        taken.append(time.perf_counter() - begun)
    return min(taken)


def main() -> int:
    """Run all, print the table, and say whether all finish times are the same."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=1000)
    parser.add_argument("--bales", type=int, default=1000)
    parser.add_argument("--processes", type=int, default=20_000, help="bales for the processes")
    parser.add_argument("--closed", type=int, default=10_000, help="bales for the closed form")
    asked = parser.parse_args()
    variation = Variation(0.25, 0.10, 0.10, 0.08, 0.10)
    generator = np.random.default_rng(20_310)
    times = times_of(RACED, draw_factors(generator, asked.runs, asked.bales, variation))
    count = asked.runs * asked.bales
    finish = race_times(times).finish_s
    laid = [np.ascontiguousarray(one.T) for one in times.drawn]
    rows = [
        ("recurrence, compiled", best_s(lambda: race_times(times)) / count, 0.0),
        (
            f"NumPy over {asked.runs} runs, bale by bale",
            best_s(lambda: _by_bale(times, *laid), 3) / count,
            float(np.abs(by_bale(times).T - finish).max()),
        ),
        (
            "NumPy, running sum over blocks of runs",
            best_s(lambda: by_block(times)) / count,
            float(np.abs(by_block(times) - finish).max()),
        ),
    ]
    line = times_of(RACED, draw_factors(generator, 1, count, variation))
    rows.append(("one stream: recurrence", best_s(lambda: race_times(line)) / count, 0.0))
    apart = float(np.abs(by_block(line) - race_times(line).finish_s).max())
    rows.append(("one stream: NumPy, running sum", best_s(lambda: by_block(line)) / count, apart))
    few = times_of(RACED, draw_factors(generator, 1, asked.processes, variation))
    begun = time.perf_counter()
    ended = run_processes(RACED, few)
    taken_s = (time.perf_counter() - begun) / asked.processes
    apart = float(np.abs(np.array(ended) - race_times(few).finish_s[0]).max())
    rows.append((f"two processes, {asked.processes} bales", taken_s, apart))
    own_s = rows[0][1]
    print(f"{count} bales, draws given; {len(RACED.stops)} kinds of stop and turns\n")
    print("| way | ns a bale | bales a second | times the recurrence | largest difference, s |")
    print("|---|---|---|---|---|")
    for name, each_s, apart in rows:
        per = rows[3][1] if name.startswith("one stream") else own_s
        print(f"| {name} | {each_s * 1e9:.2f} | {1 / each_s:.3g} | {each_s / per:.3g} | {apart} |")
    quick = min(rows[1][1], rows[2][1])
    print(f"\nratio to the faster NumPy {quick / own_s:.2f}; to processes {taken_s / own_s:.0f}")
    _closed(generator, asked.closed)
    return 0 if all(apart == 0.0 for _, _, apart in rows) else 1


def _closed(generator: np.random.Generator, bales: int) -> None:
    one_each = Variation(fill_frac=0.25, wrap_frac=0.08)
    factors = draw_factors(generator, 400, bales, one_each)
    finish = race_times(times_of(PLAIN, factors)).finish_s
    cycles = (finish[:, -1] - finish[:, 0]) / (bales - 1)
    error_s = cycles.std(ddof=1) / 20.0
    exact_s = mean_cycle_s(PLAIN, one_each)
    print(f"mean cycle without stops: {exact_s:.4f} s by one integral; {cycles.mean():.4f} s over")
    print(f"{400 * bales} bales (standard error {error_s:.4f} s)")


if __name__ == "__main__":
    sys.exit(main())
