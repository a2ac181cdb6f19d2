"""`balewright batch`: which batches of film and net break more; with one, which bales have it."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import GOOD
from balewright.cli.moving import moving_line
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because
from balewright.records.events import EventKind

if TYPE_CHECKING:
    from balewright.findings.rolls_compared import RollCompared
    from balewright.flows.read_rolls import BatchLine, BatchTold

_KINDS = {"film": EventKind.FILM_ROLL_CHANGED, "net": EventKind.NET_ROLL_CHANGED}
_HUNDRED: Final = 100.0
_COMPARED = ("batch", "bales", "breaks", "expected", "rate", "times", "chance", "worse")
_COLUMNS = ("machine", "roll", "job", "customer", "bales", "numbers", "since", "until")


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `batch`."""
    parser.add_argument(
        "batch",
        nargs="?",
        help="as it stands on the roll; letter case and spaces apart; without it all are compared",
    )
    parser.add_argument("--kind", choices=sorted(_KINDS), help="only film, or only net")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.read_rolls import find_batch
    from balewright.settings import load_settings, open_workplace

    if options.batch is None:
        if options.kind is not None:
            raise BadInput(Fault("--kind", "a batch to look for", "none", "Name the batch."))
        return _compare(options)
    workplace = open_workplace(load_settings(os.environ))
    told = find_batch(workplace, options.batch, _KINDS.get(options.kind or ""))
    if options.json:
        print_json("batch", _all_as_json(options.batch, told))
    elif not told.lines:
        print(_say("rolls_used.nothing", batch=options.batch))
    else:
        _print(options.batch, told)
    return GOOD


def _compare(options: argparse.Namespace) -> int:
    from balewright.flows.admit_findings import discovery_rule
    from balewright.flows.compare_batches import compare_batches
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ), moving_line(options.json))
    compared, rate_frac = compare_batches(workplace), discovery_rule(workplace).rate_frac
    if options.json:
        batches = [{**asdict(one), "worse": one.told_frac <= rate_frac} for one in compared]
        print_json("batch", {"rate_frac": rate_frac, "compared": batches})
    elif not compared:
        print(_say("batches.nothing"))
    else:
        heads = [_say(f"batches.{name}") for name in _COMPARED]
        print_table(heads, [_row(one, rate_frac) for one in compared])
        print(_say("batches.against"))
    return GOOD


def _row(one: RollCompared, rate_frac: float) -> list[str]:
    rate = one.breaks_bale
    in_hundred = _span(*(_HUNDRED * end for end in (rate.best, rate.low, rate.high)))
    times = one.times
    return [
        *(one.name, str(one.bales), str(one.breaks), f"{one.expected:.1f}", in_hundred),
        "-" if times is None else _span(times.best, times.low, times.high),
        f"{one.chance_frac:.2g}",
        _say("batches.yes") if one.told_frac <= rate_frac else "-",
    ]


def _span(best: float, low: float, high: float) -> str:
    return f"{best:.1f} ({low:.1f} to {high:.1f})"


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
