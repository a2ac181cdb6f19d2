"""`balewright book`: bales by customer, job, machine and day, and lifetime bales."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict
from datetime import date
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import GOOD
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.read_book import Book, BookRow, Lifetime

_COLUMNS = (
    *("customer", "job", "machine", "day"),
    *("bales", "ok", "burst", "tests", "rewrapped", "mass"),
)


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `book`."""
    parser.add_argument("--customer", help="only this customer's jobs")
    parser.add_argument("--job", help="only this job")
    parser.add_argument("--machine", help="only this serial")
    parser.add_argument("--since", metavar="DAY", help="from this day on, such as 2031-06-01")
    parser.add_argument("--until", metavar="DAY", help="up to this day, the day included")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.known_machine import known_machine
    from balewright.flows.read_book import BookQuery, read_book
    from balewright.settings import load_settings, open_workplace

    query = BookQuery(
        customer=options.customer,
        job=options.job,
        machine=options.machine,
        since_day=_day("--since", options.since),
        until_day=_day("--until", options.until),
    )
    workplace = open_workplace(load_settings(os.environ))
    if options.machine is not None:
        known_machine(workplace, options.machine)
    book = read_book(workplace, query)
    if options.json:
        print_json("book", _as_json(book))
    elif book.rows:
        _print(book)
    else:
        print(_say("book.none" if workplace.register.load_intakes(1) else "book.empty"))
    return GOOD


def _day(option: str, given: str | None) -> date | None:
    try:
        return None if given is None else date.fromisoformat(given)
    except ValueError:
        cure = "Write it as year-month-day."
        raise BadInput(Fault(option, "a day such as 2031-06-01", repr(given), cure)) from None


def _as_json(book: Book) -> dict[str, Any]:
    return {
        "bales": book.bales,
        "rows": [
            {**asdict(row), "day": None if row.day is None else row.day.isoformat()}
            for row in book.rows
        ],
        "machines": [asdict(lifetime) for lifetime in book.lifetimes],
    }


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))


def _print(book: Book) -> None:
    unknown = _say("book.unknown")
    names = [_say(f"book.column.{name}") for name in _COLUMNS]
    lines = [
        [
            row.customer or unknown,
            _job(row) or unknown,
            row.machine or unknown,
            unknown if row.day is None else row.day.isoformat(),
            *(str(n) for n in (row.bales, row.ok, row.burst, row.tests, row.rewrapped)),
            _mass(row),
        ]
        for row in book.rows
    ]
    sums = [
        str(sum(getattr(row, name) for row in book.rows))
        for name in ("bales", "ok", "burst", "tests", "rewrapped")
    ]
    print_table(names, [*lines, [_say("book.total"), "", "", "", *sums, ""]])
    print()
    print_table(
        [_say(f"book.column.{name}") for name in ("machine", "lifetime", "counted", "register")],
        [
            [
                one.machine,
                _lifetime(one) or unknown,
                str(one.counted),
                _say("book.in_register" if one.in_register else "book.not_in_register"),
            ]
            for one in book.lifetimes
        ],
    )


def _lifetime(one: Lifetime) -> str | None:
    if one.lifetime_bales is None or not one.at_least:
        return None if one.lifetime_bales is None else str(one.lifetime_bales)
    return _say("book.lifetime.least", bales=str(one.lifetime_bales))


def _job(row: BookRow) -> str:
    """The job, with farm and field where they are known: one word may name several orders."""
    where = ", ".join(part for part in (row.farm, row.field) if part)
    return f"{row.job} ({where})" if row.job and where else row.job or ""


def _mass(row: BookRow) -> str:
    if row.mass_kg is None:
        return _say("book.unknown")
    return _say("book.mass", mass_kg=row.mass_kg, weighed=row.weighed)
