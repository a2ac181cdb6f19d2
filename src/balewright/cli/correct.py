"""`balewright correct`: put a value of bales right, or take that back."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import because

if TYPE_CHECKING:
    from balewright.flows.workplace import Workplace
    from balewright.records.corrections import Correction


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `correct`."""
    parser.add_argument("machine", help="the machine's serial")
    parser.add_argument("bales", nargs="*", help="numbers or keys; none lists all corrections")
    parser.add_argument("--column", help="column of the bale table")
    parser.add_argument("--value", help="as the CSV form writes it; '' for not known")
    parser.add_argument("--why", default="", help="how it is known")
    parser.add_argument("--take-back", metavar="KEY", help="take a correction back")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    if options.take_back is not None:
        from balewright.flows.correct_bales import withdraw_correction

        back = withdraw_correction(workplace, options.take_back, options.why)
        return _tell(options, back, "command.correct.back")
    if not options.bales and options.column is None:
        return _list(workplace, options)
    if options.column is None or options.value is None:
        need = "--column and --value"
        raise BadInput(Fault("correct", need, "not both", "Say what should stand there."))
    from balewright.flows.correct_bales import Asked, correct_bales

    asked = Asked(options.machine, tuple(options.bales), options.column, options.value, options.why)
    return _tell(options, correct_bales(workplace, asked), "command.correct.done")


def _tell(options: argparse.Namespace, kept: Correction, key: str) -> int:
    from balewright.words.say import say

    if options.json:
        print_json("correction", _as_json(kept))
        return GOOD
    values: dict[str, Any] = {"column": kept.column, "named": kept.key}
    if kept.withdraws is None:
        shown = "not known" if kept.value is None else str(kept.value)
        values |= {"count": len(options.bales), "value": shown}
    else:
        values["named"] = kept.withdraws
    print(say(because(key, **values)))
    return GOOD


def _list(workplace: Workplace, options: argparse.Namespace) -> int:
    from balewright.words.say import say
    from balewright.words.times import say_time, zone_named

    kept = workplace.register.load_corrections(options.machine)
    if options.json:
        print_json("corrections", {"corrections": [_as_json(one) for one in kept]})
        return GOOD
    if not kept:
        print(say(because("command.correct.none", machine=options.machine)))
    for one in kept:
        what = f"{one.column} = {one.value}" if one.withdraws is None else f"back {one.withdraws}"
        print(f"{one.key}  {say_time(one.at_us, zone_named('UTC'))}  {what}  {one.why}")
    return GOOD


def _as_json(one: Correction) -> dict[str, Any]:
    return {**asdict(one), "bales": list(one.bales)}
