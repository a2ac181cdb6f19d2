"""`balewright case`: a machine's trouble from the call to the proof that it is cured."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING, Final

from balewright.quantities.errors import BadInput, Fault

if TYPE_CHECKING:
    from balewright.flows.workplace import Workplace

_DEEDS: Final = (
    *("list", "open", "show", "answer", "back", "cause", "repaired", "prove", "note"),
    *("close", "reopen", "share", "print", "take-in"),
)
_ALONE: Final = ("list", "open")
_EXAMPLE: Final = """
examples:
  balewright case open --machine MM-1003 --complaint "Film breaks" --yes film_breaks_often
  balewright case answer C-0123456789 --no roll_dented_1 --read net_brake_force=80
  balewright case repaired C-0123456789 --words "New roll" --part "film roll=1" --at-bale 5120
  balewright case take-in case-file.jsonl
"""


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `case`."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _EXAMPLE
    parser.add_argument("deed", metavar="DEED", help=", ".join(_DEEDS))
    parser.add_argument(
        "case",
        metavar="CASE",
        nargs="?",
        help="its key; with take-in: a file that a phone exported",
    )
    parser.add_argument(
        "--machine",
        metavar="SERIAL",
        help="with open: whose trouble it is; with list: only its cases",
    )
    parser.add_argument("--complaint", default="", metavar="WORDS", help="with open: what was said")
    parser.add_argument(
        "--finding",
        nargs="+",
        default=[],
        metavar="KEY",
        help="with open: findings it is about, as `findings --json` names them",
    )
    for name, what in (("yes", "it is so"), ("no", "it is not"), ("unknown", "nobody can tell")):
        parser.add_argument(f"--{name}", nargs="+", default=[], metavar="KEY", help=what)
    parser.add_argument(
        "--read", nargs="+", default=[], metavar="KEY=NUMBER", help="what a check read, in its unit"
    )
    parser.add_argument("--entry", metavar="ID", help="with back: the entry that is taken back")
    parser.add_argument(
        "--cause",
        metavar="KEY",
        default="",
        help="with cause, close: key of what was wrong, as `causes` names it",
    )
    parser.add_argument("--words", default="", metavar="WORDS", help="in own words")
    parser.add_argument(
        "--part",
        nargs="+",
        default=[],
        metavar="NAME=COUNT",
        help="with repaired: parts that went in",
    )
    for name, what in (
        ("minutes", "of work at the machine"),
        ("travel-minutes", "there and back"),
    ):
        parser.add_argument(f"--{name}", type=float, metavar="N", help=f"with repaired: {what}")
    parser.add_argument(
        "--at-bale", type=int, metavar="N", help="with repaired: what the machine's counter showed"
    )
    parser.add_argument(
        "--swapped", action="store_true", help="with repaired: the machine was swapped instead"
    )
    parser.add_argument(
        "--kind",
        choices=("guide", "read", "claim"),
        default="guide",
        help="with share: guides on a phone, shows it, or shows it for a claim",
    )
    parser.add_argument("--days", type=int, default=14, metavar="N", help="with share: it opens")
    parser.add_argument("--out", metavar="FILE", help="with print: where the PDF goes")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.cli import case_deeds
    from balewright.settings import load_settings, open_workplace

    if options.deed not in _DEEDS:
        need = f"one of {', '.join(_DEEDS)}"
        raise BadInput(Fault("DEED", need, repr(options.deed), "Name one of them."))
    if (options.case is None) != (options.deed in _ALONE):
        other = "a file" if options.deed == "take-in" else "a case"
        need = "none" if options.deed in _ALONE else other
        given = "none" if options.case is None else repr(options.case)
        raise BadInput(Fault("CASE", need, given, "See `balewright case list`."))
    workplace: Workplace = open_workplace(load_settings(os.environ))
    return case_deeds.DEEDS[options.deed](workplace, options)
