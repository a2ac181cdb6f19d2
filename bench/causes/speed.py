"""How fast and how exact inference in fault networks is, in one run.

    python -m bench.causes.speed [--quick] [--into docs/models/causes.md]

Networks are random with fixed seeds, and the project's own. Times are of the processor, on one
core, the least of several; a time of ours goes from the evidence to the answer, plan included, as
anybody calls it. --into writes the tables into a page, between its marks.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
from bench.causes import exact, peers
from bench.causes.answer import advise_asked, questions, rank_asked
from bench.causes.cases import Case, own_cases, random_case

from balewright.cause.infer.posterior import Posterior, infer
from balewright.cause.infer.refusals import TooWide
from balewright.cause.infer.sweep import Sweep, sweep
from balewright.cause.infer.warm_up import warm_up

LIMIT_MS = 50.0
BEGIN, END = "<!-- speed: written by the bench -->", "<!-- end of speed -->"
FIRST = """
import time
begin = time.perf_counter()
from balewright.cause.infer.warm_up import warm_up
warm_up()
ready = time.perf_counter()
from bench.causes.cases import random_case
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.sweep import sweep
case = random_case((110, 230), 12, 30, 1)
asked = time.perf_counter()
infer(case.net, case.on, case.off)
sweep(case.net, case.on, case.off, case.candidates)
print(ready - begin, time.perf_counter() - asked)
"""


def least(times: int, work: Callable[[], object]) -> float:
    """Milliseconds of the processor, the least of so many."""
    took = []
    for _ in range(times):
        begin = time.process_time()
        work()
        took.append(time.process_time() - begin)
    return 1e3 * min(took)


def ours(case: Case) -> Posterior:
    """Plan and posteriors."""
    return infer(case.net, case.on, case.off)


def our_checks(case: Case) -> Sweep:
    """Plan, posteriors, and both outcomes of every candidate with every posterior after them."""
    return sweep(case.net, case.on, case.off, case.candidates)


def put(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """A table under its title."""
    lines = [f"### {title}", "", "| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return [*lines, *("| " + " | ".join(row) + " |" for row in rows), ""]


def click() -> list[str]:
    """From the evidence to every posterior and every check."""
    cases = [
        random_case((60, 150), 12, 30, 1),
        random_case((110, 230), 12, 30, 1),
        random_case((200, 500), 20, 100, 1),
        random_case((60, 150), 12, 30, 1, 0.3),
        *own_cases(),
    ]
    rows = []
    for case in cases:
        one = least(20, lambda case=case: ours(case))
        checks = least(7, lambda case=case: our_checks(case))
        rows.append([
            case.name, str(ours(case).width), f"{one:.2f}", str(case.candidates.size),
            f"{checks:.1f}", f"{one + checks:.1f}",
        ])  # fmt: skip
    head = (
        "network",
        "width",
        "plan and posteriors, ms",
        "checks",
        "all checks, plan included, ms",
    )
    return put(f"From the evidence to the answer (aim: under {LIMIT_MS:.0f} ms)",
               (*head, "together, ms"), rows)  # fmt: skip


def whole_answer() -> list[str]:
    """What the desk asks: ranking with reasons, and the next step, everything laid out anew."""
    rows = []
    for asked in questions():
        rank = least(7, lambda asked=asked: rank_asked(asked))
        step = least(7, lambda asked=asked: advise_asked(asked))
        rows.append([asked.name, f"{rank:.1f}", f"{step:.1f}", f"{rank + step:.1f}"])
    head = ("network", "ranking with reasons, ms", "next step, ms", "together, ms")
    return put(f"The whole answer, laying out included (aim: under {LIMIT_MS:.0f} ms)", head, rows)


def against_peer(some: int) -> list[str]:
    """The same questions asked of the fastest general library."""
    peers.one_core()
    rows, ways = [], []
    for case in (
        random_case((60, 150), 12, 30, 1),
        random_case((110, 230), 12, 30, 1),
        random_case((200, 500), 20, 100, 1),
        random_case((60, 150), 12, 30, 1, 0.3),
        *own_cases(),
    ):
        got, answer = ours(case), peers.posteriors(case)
        one = least(20, lambda case=case: ours(case))
        checks = least(5, lambda case=case: our_checks(case))
        if answer is None:
            clique = min(peers.widest_clique(case, chained) for chained in (False, True))
            no_room = f"no answer: tables of 2^{clique}"
            rows.append([case.name, f"{one:.3f}", no_room, "", "", "", f"{checks:.2f}", "", ""])
            continue
        apart = np.abs(got.posterior_frac - answer[0]).max()
        driven = peers.checks(case, some)
        best = min(driven, key=lambda name: driven[name])
        rows.append([
            case.name, f"{one:.3f}", f"{answer[1]:.1f}", f"{answer[1] / one:.0f}",
            f"{answer[2] / one:.0f}", f"{apart:.0e}", f"{checks:.2f}", f"{driven[best]:.0f}",
            f"{driven[best] / checks:.0f}",
        ])  # fmt: skip
        ways.append([case.name, *(f"{driven[name]:.0f}" for name in peers.WAYS)])
    head = (
        *("network", "posteriors, ms", "peer, ms", "times", "times, building the peer's included"),
        *("apart by", "all checks, ms", "peer's best way, ms", "times"),
    )
    return [
        *put("Against pyAgrum with every help (aims: 100 times, checks 150 times)", head, rows),
        *put(f"Ways of driving it through all checks, ms (from {some} of them)",
             ("network", *peers.WAYS), ways),
    ]  # fmt: skip


def growth() -> list[str]:
    """Width and time by how much was seen on, and by density."""
    rows = []
    for dense, label in ((None, "3 to 8 causes each"), (0.1, "10 %"), (0.3, "30 %")):
        for count in (4, 8, 12, 16, 20, 24, 30):
            case = random_case((110, 230), count, 30, 2, dense)
            try:
                width, one = ours(case).width, f"{least(5, lambda case=case: ours(case)):.2f}"
            except TooWide as refused:
                rows.append([label, str(count), str(refused.width), "refused", "refused"])
                break
            try:
                checks = f"{least(2, lambda case=case: our_checks(case)):.1f}"
            except TooWide:
                checks = "refused"
            rows.append([label, str(count), str(width), one, checks])
    title = "Growth with what was seen on, and with density (110 causes, 230 observations)"
    head = ("density", "seen on", "width", "posteriors, ms", "all checks, ms")
    return put(title, head, rows)


def restart(quick: bool) -> list[str]:
    """A new process, with the compiled code on disk and without."""

    def first(cache: str | None) -> tuple[float, float]:
        env = {**os.environ, "PYTHONPATH": os.pathsep.join(["src", "."])}
        if cache is not None:
            env["NUMBA_CACHE_DIR"] = cache
        done = subprocess.run(  # noqa: S603
            [sys.executable, "-c", FIRST], env=env, capture_output=True, text=True, check=True
        )
        ready, answer = map(float, done.stdout.split())
        return ready, answer

    warm_up()
    kept = [first(None) for _ in range(5)]
    rows = [[
        "compiled code kept on disk", f"{min(one[0] for one in kept):.2f}",
        f"{1e3 * min(one[1] for one in kept):.1f}",
    ]]  # fmt: skip
    if not quick:
        with tempfile.TemporaryDirectory() as empty:
            ready, answer = first(empty)
        rows.append(["first start ever: compiling", f"{ready:.1f}", f"{1e3 * answer:.1f}"])
    return put(
        "After a restart (110 causes, 230 observations, 12 on, 30 off; wall clock)",
        ("process", "loaded and warmed up, s", "first answer with all checks, ms"), rows,
    )  # fmt: skip


def errors(quick: bool) -> list[str]:
    """How far off answers are."""
    count = 40 if quick else 300
    posterior, outcome = exact.by_sets(count)
    lines = [
        "### Errors (aim: at most 1e-12)", "",
        f"Against going through every set of causes, {count} networks of up to 16 causes with "
        f"every kind of evidence: posteriors {posterior:.0e}, both outcomes of checks "
        f"{outcome:.0e}. Against 80-digit arithmetic:", "",
    ]  # fmt: skip
    head = ("network", "chance of the evidence", "posteriors", "after the rarest check")
    rows = [
        [name, f"{chance:.0e}", f"{one:.0e}", f"{check:.0e}", f"{plain:.0e}"]
        for name, chance, one, check, plain in exact.by_digits()
    ]
    return [*lines, *put("", (*head, "textbook sum in double precision"), rows)[2:]]


def main() -> None:
    """Print the tables, and write them into the page that is named."""
    parser = argparse.ArgumentParser(prog="python -m bench.causes.speed", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer networks, no compiling anew")
    parser.add_argument("--into", type=Path, help="page whose tables are written anew as well")
    options = parser.parse_args()
    warm_up()
    lines = [
        *click(), *whole_answer(), *against_peer(6 if options.quick else 25), *growth(),
        *restart(options.quick), *errors(options.quick),
    ]  # fmt: skip
    text = "\n".join(lines)
    sys.stdout.write(text)
    if options.into:
        page = options.into.read_text(encoding="utf-8")
        if BEGIN not in page or END not in page:
            raise SystemExit(f"{options.into}: needs the lines {BEGIN} and {END}")
        before, rest = page.split(BEGIN, 1)
        page = before + BEGIN + "\n\n" + text + "\n" + END + rest.split(END, 1)[1]
        options.into.write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main()
