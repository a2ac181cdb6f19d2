"""`balewright restore FILE`: a backup back into an empty home."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.cli.moving import moving_line
from balewright.quantities.reason import ReasonValue, because


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `restore`."""
    parser.add_argument("file", type=Path, metavar="FILE", help="what `balewright backup` wrote")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.restore_house import restore_house
    from balewright.settings import load_settings

    home = load_settings(os.environ).home
    done = restore_house(options.file, home, moving_line(options.json))
    if options.json:
        answer = {"home": str(done.home), "members": done.members, "size_bytes": done.size_bytes}
        print_json("restore", {**answer, "written_by": done.written_by})
        return GOOD
    print(
        _say("restore.done", home=str(done.home), members=done.members, size_bytes=done.size_bytes)
    )
    return GOOD


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
