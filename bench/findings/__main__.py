"""How well findings do on rehearsed seasons whose truth is known.

    python -m bench.findings [--tuning] [--quick] [--only plain|stress] [--keep FOLDER]
        [--fault KIND] [--tell] [--into PAGE]

Reporting seeds begin at 90,000, tuning seeds at 1,000; `seasons.py` lists every case. Reviewed
seasons are kept in FOLDER (a file for each state of the code), so that a stopped run goes on and
counting again costs nothing. Prints the tables of docs/findings-bench.md.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from bench.findings import saying
from bench.findings.certainty import cases_of
from bench.findings.facts import Season
from bench.findings.fleets import RATES, Fleet, false_discoveries
from bench.findings.judging import judge
from bench.findings.playing import play
from bench.findings.running import digest, run_all
from bench.findings.saying import clean, faulty, percent, table
from bench.findings.seasons import REPORTING, TUNING, Case, plain_cases, stress_cases
from bench.findings.told_by import TOLD_BY as BOOK

FLEETS = (Fleet(400, 60, 0.1), Fleet(400, 60, 0.3))


MARK = "<!-- figures: everything below is written by the bench -->"


def put(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print one table under its title."""
    sys.stdout.write("\n".join(["", f"### {title}", "", *table(head, rows), ""]))
    sys.stdout.flush()


def keep_in(page: Path, figures: str) -> None:
    """Write the figures into a page, in place of those below its mark."""
    text = page.read_text(encoding="utf-8")
    if MARK not in text:
        raise SystemExit(f"{page}: needs a line {MARK}")
    page.write_text(text.split(MARK)[0] + MARK + "\n" + figures, encoding="utf-8")


def tell_plain(seasons: Sequence[Season]) -> None:
    """Every table of the plain seasons."""
    put("Faults found", saying.SEVERITY_HEAD, saying.severity_rows(seasons, BOOK))
    put(
        f"False findings (aim: {saying.WOLF_AIM:.0f} or fewer per 1,000 weeks)",
        saying.WOLF_HEAD,
        saying.wolf_rows(seasons, BOOK),
    )
    put("What cries wolf", ("kind (measure)", "false", "per 1,000 weeks"),
        saying.measure_rows(seasons, BOOK))  # fmt: skip
    put("Delays", saying.DELAY_HEAD, saying.delay_rows(seasons, BOOK))
    put("Fault by fault", saying.FOUND_HEAD, saying.found_rows(seasons, BOOK))
    scores = []
    for label, daily in (("as first told", False), ("at every daily review", True)):
        cases, left_out = cases_of(seasons, BOOK, daily)
        put(f"Certainty {label}", ("stated", "statements", "mean stated", "true"),
            saying.certain_rows(cases))  # fmt: skip
        scores.append(saying.score_row(label, cases, left_out))
    put("Scores of the stated certainty", saying.SCORE_HEAD, scores)
    put("Fleets", FLEET_HEAD, fleet_rows(seasons))


def tell_each(seasons: Sequence[Season]) -> None:
    """Every finding of every season, a line each: for looking at what went wrong."""
    for one in seasons:
        sys.stdout.write(f"{one.key}: {one.machine}, {one.sensors}, {one.fault}\n")
        for told in one.told:
            last = told.last_said
            certain = "" if last.certain_frac is None else f"{last.certain_frac:.3f}"
            sys.stdout.write(
                f"  {judge(told, one.fault, BOOK):5} {told.kind} {told.measure or told.words} "
                f"alarm {told.alarm} told {told.first_said.made} since {last.since} {certain}\n"
            )


FLEET_HEAD = (
    *("machines", "with a fault", "set to", "false among the admitted", "at most (95 %)"),
    *("admitted a day", "open a day", "true ones that stay told"),
)


def fleet_rows(seasons: Sequence[Season]) -> list[list[str]]:
    """False discoveries at each rate that a manager may set."""
    if not clean(seasons) or not faulty(seasons):
        return []
    pool = [*clean(seasons), *faulty(seasons)]
    rows = []
    for fleet in FLEETS:
        for rate in RATES:
            got = false_discoveries(pool, fleet, rate, BOOK, np.random.default_rng(1))
            rows.append([
                str(fleet.machines), percent(fleet.faulty_share), percent(rate),
                f"{got.false_frac:.1%}", f"{got.at_most_frac:.1%}", f"{got.admitted:.1f}",
                f"{got.open:.1f}", percent(got.kept_frac),
            ])  # fmt: skip
    return rows


def main() -> None:
    """Review what is not yet reviewed and print the tables."""
    parser = argparse.ArgumentParser(prog="python -m bench.findings", description=__doc__)
    parser.add_argument("--tuning", action="store_true", help="tuning seeds, not reporting seeds")
    parser.add_argument("--quick", action="store_true", help="a tenth of the seasons")
    parser.add_argument("--only", choices=("plain", "stress"))
    parser.add_argument("--keep", type=Path, default=Path(tempfile.gettempdir(), "bench_findings"))
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--fault", help="only this fault, or clean")
    parser.add_argument("--tell", action="store_true", help="every finding, and no table")
    parser.add_argument("--results", type=Path, help="a file of reviewed seasons to count again")
    parser.add_argument("--into", type=Path, help="page whose figures are written anew as well")
    options = parser.parse_args()
    said = io.StringIO()
    with contextlib.redirect_stdout(said) if options.into else contextlib.nullcontext():
        review_and_tell(options)
    if options.into:
        keep_in(options.into, said.getvalue())


def review_and_tell(options: argparse.Namespace) -> None:
    """What the options ask for."""
    first = TUNING if options.tuning else REPORTING
    kept = options.results or options.keep / (
        ("tuning" if options.tuning else "reporting") + f"_{digest()}.jsonl"
    )

    def review(cases: Sequence[Case]) -> list[Season]:
        asked = [one for one in cases if options.fault in (None, one.fault or "clean")]
        seasons = run_all(asked, play, kept, options.processes)
        if options.tell:
            tell_each(seasons)
        return seasons

    plain = review(plain_cases(first, options.quick)) if options.only != "stress" else []
    if plain and not options.tell:
        tell_plain(plain)
    if options.only == "plain":
        return
    hard = review(stress_cases(first, options.quick))
    if not options.tell:
        put("Under stress", saying.MIX_HEAD, saying.mix_rows([*plain, *hard], BOOK))
        put("What cries wolf under stress", ("kind (measure)", "false", "per 1,000 weeks"),
            saying.measure_rows(hard, BOOK))  # fmt: skip


if __name__ == "__main__":
    main()
