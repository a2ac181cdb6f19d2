"""How fast the charts are, in one run, against careful NumPy and against published libraries.

    python bench/charts/compare.py [--machines 5000] [--bales 5000] [--peers PYTHON]

PYTHON is that of an environment with what `peers.txt` names; without it only NumPy is the peer.
Machines are invented: normal readings, one machine in ten moved by 0.8 spreads from bale 3,000 of
5,000 on; events at 2 in 100, three times as many there. Ours walk all machines, the slow peers the
first few of the same (the table says how many). Times are of the processor, a bale, so that others
who work on the same machine count little; the least of three runs for ours and NumPy, one for the
others. Compiling is not counted. The statistics of the published all-window tests are compared with
ours bale by bale.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
from numpy.typing import NDArray

from balewright.findings.charts import cusum_kernel as cusum
from balewright.findings.charts import ewma_kernel as ewma
from balewright.findings.charts import many_windows_kernel as many
from balewright.findings.charts.counts_kernel import poisson_kernel
from balewright.findings.charts.windows_kernel import (
    counts_step,
    new_windows,
    packed,
    windows_step,
)

Floats = NDArray[np.float64]

REFERENCE, LIMIT, WINDOW_LIMIT, EXPECTED = 0.5, 8.0, 14.3, 0.02
SEED = 20261


def fleet(machines: int, bales: int) -> tuple[Floats, Floats]:
    """Readings and events, a row a machine."""
    rng = np.random.default_rng(SEED)
    values = rng.normal(size=(machines, bales))
    values[::10, int(0.6 * bales) :] += 0.8
    rate = np.full((machines, 1), EXPECTED)
    counts = (rng.random((machines, bales)) < rate).astype(np.float64)
    moved = counts[::10, int(0.6 * bales) :]
    moved[:] = rng.random(moved.shape) < 3.0 * EXPECTED
    return values, counts


def numpy_cusum(by_bale: Floats) -> NDArray[np.int64]:
    """First alarms, a loop over bales, all machines at once, nothing made anew within the loop."""
    machines = by_bale.shape[1]
    up, down, most = np.zeros(machines), np.zeros(machines), np.empty(machines)
    alarm = np.full(machines, -1)
    for bale, reading in enumerate(by_bale):
        np.add(up, reading, out=up)
        np.subtract(up, REFERENCE, out=up)
        np.maximum(up, 0.0, out=up)
        np.subtract(down, reading, out=down)
        np.subtract(down, REFERENCE, out=down)
        np.maximum(down, 0.0, out=down)
        np.maximum(up, down, out=most)
        if most.max() > LIMIT:
            alarm[(most > LIMIT) & (alarm < 0)] = bale
    return alarm


def numpy_ewma(by_bale: Floats, share: float, limit: float) -> NDArray[np.int64]:
    """The same for the moving average with its exact limits."""
    machines = by_bale.shape[1]
    average, part = np.zeros(machines), np.empty(machines)
    alarm, faded = np.full(machines, -1), 1.0
    for bale, reading in enumerate(by_bale):
        np.multiply(average, 1.0 - share, out=average)
        np.multiply(reading, share, out=part)
        np.add(average, part, out=average)
        faded *= (1.0 - share) ** 2
        edge = limit * (share / (2.0 - share) * (1.0 - faded)) ** 0.5
        np.abs(average, out=part)
        if part.max() > edge:
            alarm[(part > edge) & (alarm < 0)] = bale
    return alarm


def least(run: Callable[[], Any], bales: int, runs: int = 3) -> tuple[float, Any]:
    """Nanoseconds of the processor a bale, the least of some runs, and what was given."""
    run()
    times = []
    for _ in range(runs):
        begin = time.process_time()
        given = run()
        times.append(time.process_time() - begin)
    return min(times) / bales * 1e9, given


class Ours:
    """Our kernels over one fleet, the same columns for all."""

    def __init__(self, values: Floats, counts: Floats) -> None:
        self.machines, self.bales = values.shape
        self.values, self.counts = values.ravel(), counts.ravel()
        self.offsets = np.arange(0, values.size + 1, self.bales)
        self.even = np.ones(values.size)
        self.expected = np.full(values.size, EXPECTED)

    def cusum(self) -> Floats:
        """States after the tabular chart."""
        states = cusum.new_cusum(self.machines)
        cusum.tabular_kernel(self.values, self.offsets, REFERENCE, LIMIT, states)
        return states

    def likelihood(self) -> Floats:
        """States after the chart with weights."""
        states = cusum.new_cusum(self.machines)
        cusum.likelihood_kernel(self.values, self.even, self.offsets, 1.0, LIMIT, states)
        return states

    def ewma(self) -> Floats:
        """States after the moving average."""
        states = ewma.new_ewma(self.machines)
        ewma.ewma_kernel(self.values, self.offsets, 0.1, 4.5, states)
        return states

    def poisson(self) -> Floats:
        """States after the chart of counts."""
        states = cusum.new_cusum(self.machines)
        poisson_kernel(self.counts, self.expected, self.offsets, 3.0, 7.1, states)
        return states

    def windows(self) -> Floats:
        """What the test of all windows found for levels."""
        states, found = new_windows(self.machines), many.new_found(self.machines)
        many.windows_kernel(self.values, self.even, self.offsets, WINDOW_LIMIT, states, found)
        self.states = states
        return found

    def rate_windows(self) -> Floats:
        """What the test of all windows found for rates."""
        states, found = new_windows(self.machines), many.new_found(self.machines)
        many.counts_windows_kernel(
            self.counts, self.expected, self.offsets, WINDOW_LIMIT, states, found
        )
        return found


def row(chart: str, ours: float, peer: str, theirs: float, agree: str) -> str:
    """One line of the table."""
    return f"| {chart} | {ours:.2f} | {peer} | {theirs:,.2f} | {theirs / ours:,.1f} | {agree} |"


def every_bale(values: Floats, second: float, step: Callable[..., Any]) -> Floats:
    """The statistic of both sides after each bale of some machines."""
    told = np.empty(values.shape)
    for machine, series in enumerate(values):
        state = new_windows()
        for bale, value in enumerate(series):
            up, _, down, _ = step(state, value, second)
            told[machine, bale] = max(up, down)
    return told


def left_out(kind: str, given: Floats) -> list[Floats]:
    """Windows that focus-cpt does not look at, each as what it gives after every bale: all bales
    from the first on; for rates also those without an event.
    """
    places = np.arange(given.shape[1])
    sums = np.cumsum(given, axis=1)
    if kind == "level":
        return [sums**2 / (2.0 * (places + 1.0))]
    usual = EXPECTED * (places + 1.0)
    whole = sums * np.log(np.maximum(sums, 1.0) / usual) - sums + usual
    last = np.maximum.accumulate(np.where(given > 0, places, -1), axis=1)
    return [whole, EXPECTED * (places - last)]


def compared(mine: Floats, theirs: Floats, which: NDArray[np.bool_]) -> str:
    """How far answers are apart."""
    off = float(np.abs(mine - theirs)[which].max())
    return f"largest difference {off:.0e} over {int(which.sum()):,} bales"


def against_focus(folder: Path, values: Floats, counts: Floats) -> dict[str, tuple[int, str]]:
    """Machines and agreement with focus-cpt, which tells twice the logarithm for levels, at all
    bales whose best window is one that it looks at.
    """
    told = {}
    for kind, given, second, step, factor in (
        ("level", values, 1.0, windows_step, 0.5),
        ("rate", counts, EXPECTED, counts_step, 1.0),
    ):
        theirs = factor * np.load(folder / f"focus-{kind}.npy")
        mine = every_bale(given[: len(theirs)], second, step)
        which = np.ones(theirs.shape, np.bool_)
        for window in left_out(kind, given[: len(theirs)]):
            which &= ~np.isclose(mine, window, rtol=1e-9)
        told[kind] = (len(theirs), compared(mine, theirs, which))
    return told


def against_peers(python: str, values: Floats, counts: Floats, ours: dict[str, float]) -> list[str]:
    """Lines for the published libraries."""
    lines = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        np.save(folder / "values.npy", values[:40])
        np.save(folder / "counts.npy", counts[:40])
        np.save(folder / "expected.npy", np.array(EXPECTED))
        command = [python, str(Path(__file__).with_name("peers.py")), name]
        done = subprocess.run(command, check=True, capture_output=True, text=True)  # noqa: S603
        print(done.stderr, file=sys.stderr, end="")
        told = json.loads(done.stdout)
        if "river" in told:
            peer = f"river PageHinkley, {told['river']['machines']} machines"
            ns = told["river"]["ns"]
            lines.append(row("two-sided CUSUM", ours["cusum"], peer, ns, "another statistic"))
        if "focus-cpt" in told:
            for kind, (machines, agree) in against_focus(folder, values, counts).items():
                mine = ours["windows" if kind == "level" else "rate windows"]
                ns = told["focus-cpt"][kind]["ns"]
                peer = f"focus-cpt (C++), {machines} machines"
                lines.append(row(f"all windows, {kind}", mine, peer, ns, agree))
        if "changepoint-online" in told:
            theirs = np.load(folder / "online-level.npy")
            mine_too = every_bale(values[: len(theirs)], 1.0, windows_step)
            agree = compared(mine_too, theirs, np.ones(theirs.shape, np.bool_))
            peer = f"changepoint-online (Python), {len(theirs)} machines"
            ns = told["changepoint-online"]["ns"]
            lines.append(row("all windows, level", ours["windows"], peer, ns, agree))
    return lines


def alarms_agree(mine: Floats, theirs: NDArray[np.int64]) -> str:
    """Whether first alarms are the same."""
    return "first alarms the same" if np.array_equal(mine, theirs) else "first alarms DIFFER"


def main() -> None:
    """Measure, compare, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--machines", type=int, default=5000)
    parser.add_argument("--bales", type=int, default=5000)
    parser.add_argument("--peers", help="Python of the peers' environment")
    asked = parser.parse_args()
    values, counts = fleet(asked.machines, asked.bales)
    mine, bales = Ours(values, counts), values.size
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    given: dict[str, Floats] = {}
    ours: dict[str, float] = {}
    for name, run in (
        ("cusum", mine.cusum),
        ("likelihood", mine.likelihood),
        ("ewma", mine.ewma),
        ("poisson", mine.poisson),
        ("windows", mine.windows),
        ("rate windows", mine.rate_windows),
    ):
        ours[name], given[name] = least(run, bales)
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    by_bale, lines = np.ascontiguousarray(values.T), []
    for name, title, column, plainly in (
        ("cusum", "two-sided CUSUM", cusum.ALARM, lambda: numpy_cusum(by_bale)),
        ("ewma", "EWMA, exact limits", ewma.ALARM, lambda: numpy_ewma(by_bale, 0.1, 4.5)),
    ):
        plain, alarms = least(plainly, bales)
        agree = alarms_agree(given[name][:, column], alarms)
        lines.append(row(title, ours[name], "NumPy, all machines at once", plain, agree))
    if asked.peers:
        lines += against_peers(asked.peers, values, counts, ours)
    print(f"{asked.machines:,} machines x {asked.bales:,} bales; ns of the processor a bale\n")
    print("| chart | ours | peer | peer's | times as fast | answers |\n|---|---|---|---|---|---|")
    print("\n".join(lines))
    for name in ("likelihood", "poisson"):
        print(f"\nWithout a peer: {name} CUSUM {ours[name]:.2f} ns.")
    kept = [packed(state).nbytes for state in mine.states]
    print(
        f"\nMemory beside the columns: {grown:.0f} MB at most. State of the test of all windows: "
        f"{mine.states[0].nbytes:,} bytes at work, {np.mean(kept):.0f} kept on average, "
        f"{max(kept)} at most."
    )


if __name__ == "__main__":
    main()
