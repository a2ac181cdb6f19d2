"""`balewright take-in PATH`: take a file into the journal, for good, and say what became of it."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.cli.answer import print_json
from balewright.cli.entry import BAD_INPUT, GOOD
from balewright.cli.take_in_text import report_lines
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.take_in_report import IntakeReport

_CLEAR: Final = "\r\x1b[K"


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `take-in`."""
    parser.add_argument(
        "paths",
        nargs="+",
        type=Path,
        metavar="PATH",
        help="a bale or event CSV, task data or a trace",
    )
    parser.add_argument(
        "--machine", metavar="SERIAL", help="whose the file is, where its rows do not say"
    )
    parser.add_argument(
        "--map", metavar="KEY", help="the column map to read it by, where not its headings' own"
    )
    parser.add_argument(
        "--begins", metavar="TIME", help="when a recording began, where it does not say"
    )
    parser.add_argument(
        "--signals", type=Path, metavar="FILE", help="TOML of the machine's signals, for a trace"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.add_argument(
        "--strict", action="store_true", help="end with 2 when anything was refused"
    )
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.read_trace import told_of_recording
    from balewright.flows.reading_of import reading_of
    from balewright.flows.take_in_file import take_in_file
    from balewright.flows.take_in_report import report_to_json
    from balewright.settings import load_settings, open_workplace

    progress = _Line(len(options.paths)) if _is_watched(options.json) else None
    workplace = open_workplace(load_settings(os.environ), progress)
    reports = []
    for number, path in enumerate(options.paths, 1):
        if progress is not None:
            progress.begin(number, path)
        reading = reading_of(workplace, options.machine, options.map)
        reading = told_of_recording(reading, options.begins, options.signals)
        reports.append(take_in_file(workplace, path, reading=reading))
        if progress is not None:
            progress.clear()
        if not options.json:
            print("\n".join(report_lines(reports[-1])), flush=True)
    if options.json:
        print_json("take-in", {"files": [report_to_json(report) for report in reports]})
    elif len(reports) > 1:
        print(_total(reports))
    strict = options.strict and any(report.refused for report in reports)
    return BAD_INPUT if strict or any(report.state == "refused" for report in reports) else GOOD


def _total(reports: Sequence[IntakeReport]) -> str:
    states = [report.state for report in reports]
    taken = [report for report in reports if report.state == "taken"]
    return _say(
        "intake.total",
        files=len(reports),
        taken=len(taken),
        already=sum(state == "already taken" for state in states),
        refused=sum(state == "refused" for state in states),
        kept=sum(report.kept for report in taken),
        events=sum(report.events for report in taken),
        lines=sum(report.refused for report in reports if report.state != "already taken"),
        doubtful=sum(report.doubtful for report in taken),
    )


def _is_watched(as_json: bool) -> bool:
    """One line that moves, on a screen only."""
    return not as_json and sys.stderr.isatty()


class _Line:
    """How far it is: which file of how many, and how much of it."""

    def __init__(self, files: int) -> None:
        self._files, self._said = files, ""

    def begin(self, number: int, path: Path) -> None:
        """The next file."""
        name = path.name or str(path)
        self._said = (
            _say("intake.file_of", number=number, count=self._files, name=name)
            if self._files > 1
            else name
        )

    def __call__(self, stage: str, done: int, total: int | None) -> None:
        """A workplace's progress."""
        much = f"{100 * done // total} %" if total else f"{done:,}"
        print(f"{_CLEAR}{self._said}: {stage} {much}", end="", file=sys.stderr, flush=True)

    def clear(self) -> None:
        """Leave the line empty for the report."""
        print(_CLEAR, end="", file=sys.stderr, flush=True)


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
