"""`balewright personal`: where personal data lies, what is held of somebody, erasing it."""

from __future__ import annotations

import argparse
import os
from datetime import datetime
from typing import TYPE_CHECKING

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import GOOD
from balewright.cli.moving import moving_line
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.erase_personal import Erasing, Held


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `personal`."""
    parser.add_argument("--operator", metavar="NAME", help="what is held of an operator")
    parser.add_argument("--customer", metavar="NAME", help="what is held of a customer")
    parser.add_argument("--account", metavar="NAME", help="what is held of who worked here")
    parser.add_argument("--case", metavar="KEY", help="words, names and photos of a case")
    parser.add_argument(
        "--positions", metavar="SERIAL", help="where a machine's bales lie; `all` for every machine"
    )
    parser.add_argument(
        "--before", metavar="DAY", help="positions of bales made before this day (UTC)"
    )
    parser.add_argument("--erase", action="store_true", help="erase it; totals stay")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    asked = _asked(options)
    if asked is None:
        _print_places(options.json)
        return GOOD
    from balewright.flows.erase_personal import erase_personal, see_held
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ), moving_line(options.json))
    held = (erase_personal if options.erase else see_held)(workplace, asked)
    if options.json:
        places = dict(held.places)
        answer = {"kind": asked.kind.value, "places": places, "originals": len(held.originals)}
        print_json("personal", {**answer, "erased": options.erase})
    else:
        _print_held(held, erased=options.erase)
    return GOOD


def _asked(options: argparse.Namespace) -> Erasing | None:
    from balewright.flows.erase_personal import EVERY_MACHINE, Erasing, ErasureKind

    given = [kind for kind in ErasureKind if getattr(options, kind.value) is not None]
    if len(given) > 1:
        need, cure = "one of them at a time", "Ask again for the other."
        raise BadInput(Fault("personal", need, " and ".join(f"--{k}" for k in given), cure))
    if not given:
        if options.erase or options.before:
            cure = "Add --operator, --customer, --account, --case or --positions."
            raise BadInput(Fault("personal", "whose or what", "nothing", cure))
        return None
    subject = getattr(options, given[0].value)
    if given[0] is ErasureKind.POSITIONS and subject == "all":
        subject = EVERY_MACHINE
    return Erasing(given[0], subject, _before_us(options.before))


def _before_us(day: str | None) -> int | None:
    if day is None:
        return None
    try:
        return int(datetime.fromisoformat(f"{day}T00:00:00+00:00").timestamp()) * 1_000_000
    except ValueError as error:
        need, cure = "a day such as 2031-06-14", "Write year, month and day."
        raise BadInput(Fault("--before", need, repr(day), cure)) from error


def _print_places(as_json: bool) -> None:
    from balewright.store.personal import HOLDINGS

    if as_json:
        rows = [
            {"place": h.place, "kind": h.kind.value, "leaves": h.leaves.value} for h in HOLDINGS
        ]
        print_json("personal", {"holdings": rows})
        return
    lines = [
        (
            _say(f"desk.personal.holds.{h.kind.value}"),
            h.place,
            _say(f"desk.personal.leaves.{h.leaves.key}"),
        )
        for h in HOLDINGS
    ]
    print_table(("kind", "where", "how it leaves"), lines)


def _print_held(held: Held, erased: bool) -> None:
    if held.is_nothing:
        print(_say("desk.personal.nothing"))
        return
    print(_say("personal.erased" if erased else "personal.held"))
    rows: list[tuple[str, str]] = [(place, str(n)) for place, n in sorted(held.places.items())]
    print_table(("where", "how many"), rows)
    if held.originals:
        key = "personal.originals_gone" if erased else "personal.originals"
        print(_say(key, count=len(held.originals)))
    print(_say("personal.backups" if erased else "personal.totals"))


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
