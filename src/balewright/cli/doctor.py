"""`balewright doctor`: what is wrong with what is kept, and how to mend it."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json
from balewright.cli.entry import FOUND, GOOD
from balewright.cli.moving import moving_line
from balewright.quantities.reason import Reason, because

if TYPE_CHECKING:
    from balewright.flows.examine_house import Health
    from balewright.store.health.lines import HealthLine


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `doctor`."""
    parser.add_argument(
        "--deep", action="store_true", help="read every column file whole and check its hash"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.store.health.lines import HealthState

    health = _examine(options)
    if options.json:
        lines = [_as_json(line) for line in health.lines]
        at = health.at.isoformat()
        print_json("doctor", {"state": health.state.value, "at": at, "lines": lines})
    else:
        _print(health)
    return FOUND if health.state is HealthState.BROKEN else GOOD


def _examine(options: argparse.Namespace) -> Health:
    from datetime import UTC, datetime

    from balewright.flows.examine_house import examine_house, examine_shut_house
    from balewright.quantities.errors import BadInput
    from balewright.settings import load_settings, open_workplace

    settings = load_settings(os.environ)
    try:
        workplace = open_workplace(settings, moving_line(options.json))
    except BadInput as error:
        return examine_shut_house(settings.home, error, datetime.now(UTC))
    return examine_house(workplace, options.deep)


def _print(health: Health) -> None:
    for line in health.lines:
        print(f"{_say(because(f'desk.health.state.{line.state.value}')):9} {_name(line)}")
        print(f"          {_say(line.said)}")
        if line.cure is not None:
            print(f"          {_say(line.cure)}")
    of_worst = [line for line in health.lines if line.state is health.state]
    print(_say(because(f"desk.health.all.{health.state.value}", count=len(of_worst))))


def _as_json(line: HealthLine) -> dict[str, Any]:
    return {
        "key": line.key,
        "state": line.state.value,
        "said": _say(line.said),
        "cure": None if line.cure is None else _say(line.cure),
        "values": dict(line.said.values),
    }


def _name(line: HealthLine) -> str:
    return _say(because(f"desk.health.name.{line.key}"))


def _say(reason: Reason) -> str:
    from balewright.words.say import say

    return say(reason)
