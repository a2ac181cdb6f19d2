"""`balewright batch BATCH`: which bales have film or net of a batch, over all machines."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import GOOD
from balewright.quantities.reason import ReasonValue, because
from balewright.records.events import EventKind

if TYPE_CHECKING:
    from balewright.flows.read_rolls import BatchLine, BatchTold

_KINDS = {"film": EventKind.FILM_ROLL_CHANGED, "net": EventKind.NET_ROLL_CHANGED}
_COLUMNS = ("machine", "roll", "job", "customer", "bales", "numbers", "since", "until")


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `batch`."""
    parser.add_argument("batch", help="as it stands on the roll; letter case and spaces apart")
    parser.add_argument("--kind", choices=sorted(_KINDS), help="only film, or only net")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.read_rolls import find_batch
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    told = find_batch(workplace, options.batch, _KINDS.get(options.kind or ""))
    if options.json:
        print_json("batch", _all_as_json(options.batch, told))
    elif not told.lines:
        print(_say("rolls_used.nothing", batch=options.batch))
    else:
        _print(options.batch, told)
    return GOOD


def _print(batch: str, told: BatchTold) -> None:
    from balewright.words.counting import say_runs
    from balewright.words.iso_times import write_time

    rows = [
        [
            one.machine,
            one.item or one.kind.value,
            one.job or "-",
            one.customer or "-",
            str(one.bales),
            say_runs(one.numbers) + (f" + {one.unnumbered}" if one.unnumbered else ""),
            *("-" if at is None else write_time(at) for at in (one.first_us, one.last_us)),
        ]
        for one in told.lines
    ]
    print_table([_say(f"rolls_used.column.{name}") for name in _COLUMNS], rows)
    print(_say("rolls_used.sum", bales=told.bales, machines=told.machines, batch=batch))


def _all_as_json(batch: str, told: BatchTold) -> dict[str, Any]:
    return {"batch": batch, "bales": told.bales, "lines": [_as_json(one) for one in told.lines]}


def _as_json(one: BatchLine) -> dict[str, Any]:
    numbers = [[run.first, run.last] for run in one.numbers]
    return {**asdict(one), "kind": one.kind.value, "numbers": numbers}


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
