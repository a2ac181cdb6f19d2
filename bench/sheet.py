"""How long a sheet takes, and each of its forms: warm, in one process, over many runs.

    python bench/sheet.py [--runs N]

No sheet is made twice (moisture and number of bales differ from run to run), so that nothing is
answered from memory. Prints medians by the clock and of the processor's time, all threads together,
with the fastest run. A machine with other work stretches the clock: then the processor's time is
the thing to compare. Ends with 1 where its median misses a goal: 50 ms for the sheet, 150 ms for a
PDF.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from balewright.cards.issue import issue_of
from balewright.cards.sheet_json import sheet_to_json
from balewright.cards.sheet_message import sheet_message
from balewright.cards.sheet_page import sheet_page
from balewright.cards.sheet_pdf import Paper, sheet_pdf
from balewright.cards.sheet_text import sheet_text
from balewright.cards.task_data import task_data_zip
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Sheet
from balewright.readers.profile import shipped_profiles
from cards.examples import LINK, PLAIN

MADE = date(2031, 6, 30)
GOALS_MS = {"the whole sheet": 50.0, "A5 card (PDF)": 150.0, "A4 sheet (PDF)": 150.0}
FORMS: dict[str, Callable[[Sheet], object]] = {
    "A5 card (PDF)": lambda sheet: sheet_pdf(sheet, issue=issue_of(sheet, MADE, LINK)),
    "A4 sheet (PDF)": lambda sheet: sheet_pdf(
        sheet, issue=issue_of(sheet, MADE, LINK), paper=Paper.A4
    ),
    "page (HTML)": lambda sheet: sheet_page(sheet, issue=issue_of(sheet, MADE, LINK)),
    "text": sheet_text,
    "message": sheet_message,
    "JSON": sheet_to_json,
    "task data": task_data_zip,
}


Spent = list[tuple[float, float]]
"""Milliseconds by the clock and of the processor."""


def spend(work: Callable[[], object], into: Spent | None) -> object:
    """Do it and note what it took; None notes nothing."""
    clock, processor = time.perf_counter(), time.process_time()
    done = work()
    if into is not None:
        into.append((1e3 * (time.perf_counter() - clock), 1e3 * (time.process_time() - processor)))
    return done


def sheets(make: str, runs: int, spent: Spent) -> Iterator[Sheet]:
    """Different sheets of one make; what each took goes into `spent`; the first only warms up."""
    machine = shipped_profiles()[make]
    for run in range(runs + 1):
        asked = replace(PLAIN, moisture_frac=0.45 + 0.1 * run / runs, bales=100 + run)
        plan = partial(plan_bale, machine, asked, f"TIN-{run}", "bench")
        sheet = spend(plan, spent if run else None)
        assert isinstance(sheet, Sheet)
        yield sheet


def timed(make: str, runs: int) -> dict[str, Spent]:
    """What every run took, by form; the first run of each only warms up."""
    found: dict[str, Spent] = {"the whole sheet": []}
    for number, sheet in enumerate(sheets(make, runs, found["the whole sheet"])):
        for name, form in FORMS.items():
            spend(partial(form, sheet), found.setdefault(name, []) if number else None)
    return found


def main() -> int:
    """The table; 1 where a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=40)
    runs = parser.parse_args().runs
    missed = []
    print("| make | what | by the clock, ms | processor, ms | fastest, ms |\n|---|---|---|---|---|")
    for make in sorted(shipped_profiles()):
        for name, spent in timed(make, runs).items():
            clock, processor = (statistics.median(each) for each in zip(*spent, strict=True))
            fastest = min(each for each, _ in spent)
            print(f"| {make} | {name} | {clock:.1f} | {processor:.1f} | {fastest:.1f} |")
            if processor > GOALS_MS.get(name, processor):
                missed.append(f"{make}, {name}: {processor:.0f} ms, {GOALS_MS[name]:.0f} wanted")
    print("\n".join(["", *missed]) if missed else "\nEvery goal is met.")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
