"""`balewright due`: what work falls due on which machine, its caution first."""

from __future__ import annotations

import argparse
import os
from typing import Any

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import GOOD
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason
from balewright.work.due import DueState, WorkDue


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `due`."""
    parser.add_argument("--machine", help="only this serial")
    parser.add_argument("--all", action="store_true", help="also what is not due for long")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.list_due import list_due
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    serials = [entry.serial for entry in workplace.register.load_machines()]
    if options.machine is not None and options.machine not in serials:
        need = f"a serial of the register: {', '.join(serials) or 'it is empty yet'}"
        cure = "Check the serial, or add the machine at the desk."
        raise BadInput(Fault("--machine", need, repr(options.machine), cure))
    due = list_due(workplace, options.machine)
    if options.json:
        print_json("due", {"due": [_as_json(one) for one in due]})
        return GOOD
    shown = [one for one in due if options.all or one.state is not DueState.LATER]
    for caution in dict.fromkeys(one.caution for one in shown):
        print(f"! {_said(Reason(caution))}")
    if not shown:
        print(
            "Nothing is due."
            if serials
            else "No machine is in the register yet: add it at the desk (`balewright serve`), "
            "or see an invented fleet with `balewright demo`."
        )
        return GOOD
    print_table(
        ("machine", "state", "at bale", "in days", "minutes", "what"),
        [
            (
                one.machine,
                one.state.value,
                "-" if one.due_at_bale is None else str(one.due_at_bale),
                _days(one.due_days),
                f"{one.minutes:.0f}",
                _said(one.words),
            )
            for one in shown
        ],
    )
    return GOOD


def _said(reason: Reason) -> str:
    from balewright.words.say import say

    return say(reason)


def _days(days: Interval | None) -> str:
    if days is None:
        return "unknown"
    return "now" if days.high <= 0 else f"{days.low:.0f} to {days.high:.0f}"


def _as_json(one: WorkDue) -> dict[str, Any]:
    days = one.due_days
    return {
        "machine": one.machine,
        "item": one.item,
        "state": one.state.value,
        "unit": one.unit,
        "every": one.every,
        "since": round(one.since, 2),
        "left": round(one.left, 2),
        "due_at_bale": one.due_at_bale,
        "due_days": None
        if days is None
        else {"low": days.low, "best": days.best, "high": days.high},
        "minutes": one.minutes,
        "caution": _said(Reason(one.caution)),
        "is_known": one.is_known,
        "sentence": _said(one.words),
    }
