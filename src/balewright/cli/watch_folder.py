"""`balewright watch-folder PATH`: take in what is put into a folder, as long as it runs."""

from __future__ import annotations

import argparse
import json
import os
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from balewright.cli.answer import JSON_VERSION
from balewright.cli.entry import BAD_INPUT, GOOD
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.take_in_folder import FolderWatch, Outcome

GROWS_S = 60.0
"""With --once: a file that still grows after so long beside its settling is left."""


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `watch-folder`."""
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="what is watched")
    parser.add_argument(
        "--once", action="store_true", help="end when everything that lies there was dealt with"
    )
    parser.add_argument(
        "--done", type=Path, metavar="FOLDER", help="move files there once they are kept"
    )
    parser.add_argument(
        "--settle-s", type=float, default=10.0, help="a file must stay as it is so long (10)"
    )
    parser.add_argument("--every-s", type=float, default=5.0, help="how often to look (5)")
    parser.add_argument(
        "--machine", metavar="SERIAL", help="whose the files are, where their rows do not say"
    )
    parser.add_argument("--map", metavar="KEY", help="the column map to read them by")
    parser.add_argument("--json", action="store_true", help="one JSON object a file and line")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.take_in_folder import Watch, watching
    from balewright.settings import load_settings, open_workplace

    for name, low in (("settle_s", 0.0), ("every_s", 0.1)):
        if not low <= getattr(options, name) <= 86_400:
            option = f"--{name.replace('_', '-')}"
            need, given = f"seconds from {low:g} to 86400", f"{getattr(options, name):g}"
            raise BadInput(Fault(option, need, given, "Leave it out to use the usual one."))
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    workplace = open_workplace(load_settings(os.environ))
    watch = Watch(options.folder, options.settle_s, options.done, options.machine, options.map)
    with watching(workplace, watch) as folder:
        refused = False
        for outcome in _outcomes(folder, options):
            refused |= outcome.report is None or outcome.report.state == "refused"
            print(_line(outcome, options.json), flush=True)
    return BAD_INPUT if refused else GOOD


def _outcomes(folder: FolderWatch, options: argparse.Namespace) -> Iterator[Outcome]:
    if not options.json:
        print(_say("watch.begun", folder=str(options.folder)), file=sys.stderr, flush=True)
    began, unreachable = time.monotonic(), ""
    while True:
        try:
            yield from folder.look(time.monotonic)
            unreachable = ""
        except BadInput as error:
            if options.once:
                raise
            if str(error) != unreachable:
                unreachable = str(error)
                print(f"balewright: {error}", file=sys.stderr, flush=True)
        if options.once and not folder.pending:
            return
        if options.once and time.monotonic() - began > options.settle_s + GROWS_S:
            for name in folder.pending:
                print(_say("watch.grows", name=name), file=sys.stderr)
            return
        pause_s = min(options.every_s, options.settle_s) if options.once else options.every_s
        time.sleep(max(pause_s, 0.1))


def _line(outcome: Outcome, as_json: bool) -> str:
    from balewright.flows.take_in_report import report_to_json

    report = outcome.report
    if as_json:
        told = {
            "balewright": "watch-folder",
            "version": JSON_VERSION,
            "file": outcome.name,
            "state": "not taken" if report is None else report.state.value,
            "why": outcome.why or None,
            "moved_to": None if outcome.moved_to is None else str(outcome.moved_to),
            "report": None if report is None else report_to_json(report),
        }
        return json.dumps(told, ensure_ascii=False, allow_nan=False)
    if report is None:
        return _say("watch.not_taken", name=outcome.name, why=outcome.why)
    if report.state == "refused":
        first = report.refusals[0].reason if report.refusals else ""
        return _say("watch.refused", name=outcome.name, why=first)
    known = report.state == "already taken"
    new = None if known else [one.new for one in report.notes.machines]
    said = _say(
        "watch.already" if known else "watch.taken",
        name=outcome.name,
        kept=report.kept,
        events=report.events,
        refused=report.refused,
        doubtful=report.doubtful,
        new=_say("watch.new_unknown")
        if not new or None in new
        else sum(one for one in new if one is not None),
    )
    moved = "" if outcome.moved_to is None else " " + _say("watch.moved", to=str(outcome.moved_to))
    return f"{said}{moved}" + (f" {outcome.why}" if outcome.why else "")


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
