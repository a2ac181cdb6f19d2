"""`balewright originals`: how long files are kept as they came, and letting go what is older."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.cli.moving import moving_line
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.keep_originals import OriginalsKept

_FOR_GOOD = "for-good"


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `originals`."""
    parser.add_argument("--keep", metavar="DAYS", help="set the rule: so many days, or for-good")
    parser.add_argument("--let-go", action="store_true", help="remove what the rule lets go")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.keep_originals import apply_retention, see_originals, set_retention
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ), moving_line(options.json))
    if options.keep is not None:
        set_retention(workplace, _days(options.keep))
    let_go = apply_retention(workplace) if options.let_go else ()
    seen = see_originals(workplace)
    if options.json:
        names = [entry.name for entry in seen.due]
        answer = {"days": seen.days, "contents": seen.contents, "size_bytes": seen.size_bytes}
        print_json("originals", {**answer, "due": names, "let_go": len(let_go)})
        return GOOD
    for line in _lines(seen, len(let_go)):
        print(line)
    return GOOD


def _days(given: str) -> int | None:
    if given == _FOR_GOOD:
        return None
    if not (given.isascii() and given.isdigit()):
        need = f"whole days, or {_FOR_GOOD}"
        raise BadInput(Fault("--keep", need, repr(given), "Give 400 for a year and a month."))
    return int(given)


def _lines(seen: OriginalsKept, let_go: int) -> list[str]:
    lines = [_say("originals.kept", contents=seen.contents, size_bytes=seen.size_bytes)]
    if seen.days is None:
        lines.append(_say("originals.for_good"))
    else:
        lines.append(_say("originals.rule", days=seen.days))
    if let_go:
        lines.append(_say("originals.let_go", count=let_go))
    if seen.due:
        lines.append(_say("originals.due", count=len(seen.due), due_bytes=seen.due_bytes))
    return lines


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
