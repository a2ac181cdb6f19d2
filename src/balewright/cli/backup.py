"""`balewright backup FILE`: everything that is kept, in one file, as it stood at one moment."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.cli.moving import moving_line
from balewright.quantities.reason import ReasonValue, because


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `backup`."""
    parser.add_argument("file", type=Path, metavar="FILE", help="a new file, best on another disk")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.back_up_house import back_up_house
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ), moving_line(options.json))
    made = back_up_house(workplace, options.file)
    if options.json:
        answer = {"file": str(made.path), "members": made.members, "size_bytes": made.size_bytes}
        print_json("backup", {**answer, "originals_gone": made.originals_gone})
        return GOOD
    print(
        _say("backup.made", file=str(made.path), members=made.members, size_bytes=made.size_bytes)
    )
    if made.originals_gone:
        print(_say("backup.originals_gone", count=made.originals_gone))
    print(_say("backup.holds"))
    return GOOD


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
