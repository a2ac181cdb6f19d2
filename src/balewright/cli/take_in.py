"""`balewright take-in PATH`: take a file into the journal, for good, and say what became of it."""

from __future__ import annotations

import argparse
import os
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from balewright.cli.answer import print_json
from balewright.cli.entry import BAD_INPUT, GOOD
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.take_in_file import IntakeReport

_SHOWN: Final = 20


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `take-in`."""
    parser.add_argument(
        "paths", nargs="+", type=Path, metavar="PATH", help="a bale or event CSV, or task data"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.add_argument(
        "--strict", action="store_true", help="end with 2 when anything was refused"
    )
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.take_in_file import take_in_file
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ), _show_progress(options.json))
    reports = [take_in_file(workplace, path) for path in options.paths]
    if options.json:
        print_json("take-in", {"files": [_as_json(report) for report in reports]})
    else:
        for report in reports:
            _print(report)
    strict = options.strict and any(report.refused for report in reports)
    return BAD_INPUT if strict or any(report.state == "refused" for report in reports) else GOOD


def _show_progress(as_json: bool) -> Any:
    """One line that moves, on a screen only."""
    if as_json or not sys.stderr.isatty():
        return None

    def show(stage: str, done: int, total: int | None) -> None:
        of = "" if total is None else f" of {total:,}"
        print(f"\r\x1b[K{stage} {done:,}{of}", end="", file=sys.stderr, flush=True)
        if stage == "writing":
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)

    return show


def _as_json(report: IntakeReport) -> dict[str, Any]:
    return {**asdict(report), "state": report.state.value}


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))


def _print(report: IntakeReport) -> None:
    from balewright.words.times import say_time, zone_named

    if report.state == "refused":
        print(_say("intake.refused", name=report.name))
    elif report.state == "already taken":
        print(_say("intake.already", name=report.name))
    if report.state != "refused":
        counts: dict[str, ReasonValue] = {"kept": report.kept, "events": report.events}
        print(_say("intake.taken", name=report.name, form=report.form, **counts))
        machines = ", ".join(report.machines)
        print(_say("intake.machines" if machines else "intake.no_machine", machines=machines))
    if report.first_us is not None:
        utc = zone_named("UTC")
        ends = {"first": say_time(report.first_us, utc), "last": say_time(report.last_us, utc)}
        print(_say("intake.span", **ends))
    if report.unknown_machines:
        print(_say("intake.unknown_machines", machines=", ".join(report.unknown_machines)))
    if report.refused:
        print(_say("intake.refusals", refused=report.refused))
        _print_list(
            [
                f"{_where(one.file, one.place)}: {_quoted(one.text)}{one.reason}"
                for one in report.refusals
            ],
            report.refused,
        )
    if report.doubtful:
        print(_say("intake.doubts", doubtful=report.doubtful))
        _print_list(
            [f"{_where(one.file, one.place)}: {one.kind}: {one.text}" for one in report.doubts],
            report.doubtful,
        )


def _where(file: str, place: str) -> str:
    """File and place; a place that names its file already is enough."""
    return place if place.startswith(file) else f"{file}, {place}"


def _quoted(text: str) -> str:
    return f"“{text}” – " if text else ""


def _print_list(lines: list[str], total: int) -> None:
    for line in lines[:_SHOWN]:
        print(f"  {line}".rstrip())
    if total > _SHOWN:
        print(f"  {_say('intake.more', more=total - _SHOWN)}")
