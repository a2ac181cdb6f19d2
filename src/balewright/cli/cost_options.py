"""The options of `balewright cost`: what may stand there, and the question they make."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from balewright.cli.ranges import Number, add_numbers, check_numbers
from balewright.cli.work_options import (
    MOST_MONEY,
    WORK_NUMBERS,
    add_work_options,
    job_of,
    outlay_of,
    wrap_of,
)
from balewright.plan.cost.answer import Hired
from balewright.plan.cost.job import Job
from balewright.plan.cost.outlay import Outlay
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval
from balewright.quantities.si import KM_H_PER_M_S

_NUMBERS: Final = {
    **WORK_NUMBERS,
    "--dm-kg-m3": Number(40, 400, "dry matter in a cubic metre of bale, kg", required=True),
    "--speed-km-h": Number(0.5, 20, "speed, km/h", required=True),
    "--turns": Number(0, 200, "wrap turns of each roll, 0 where bales are not wrapped", 0),
    "--hired-money": Number(0, MOST_MONEY, "what a hired bale costs, to compare"),
}


@dataclass(frozen=True)
class Asked:
    """The question, checked."""

    job: Job
    outlay: Outlay
    hired: Hired | None
    spread: dict[str, Interval]


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add = parser.add_argument
    add_work_options(parser)
    add_numbers(parser, _NUMBERS)
    add("--hired-without-film", action="store_true", help="the hired rate has no film in it")
    add(
        "--uncertain",
        action="append",
        default=[],
        metavar="NAME=LOW..HIGH",
        help="such as prices.fuel_money_l=0.9..1.6 or made.bales_h=20..30; may be given again",
    )
    add("--svg", type=Path, metavar="FILE", help="draw it into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")


def ask(options: argparse.Namespace) -> Asked:
    """The question of these options. Raises BadInput with every number out of range at once."""
    check_numbers(options, _NUMBERS)
    if options.turns and not options.film_roll_money:
        need, cure = "the price of a roll", "A wrapped bale takes film: say what a roll costs."
        raise BadInput(Fault("--film-roll-money", need, "none", cure))
    leave_out = ("film_money",) if options.hired_without_film else ()
    hired = None if options.hired_money is None else Hired(options.hired_money, leave_out)
    return Asked(_job(options), outlay_of(options), hired, _spread(options.uncertain))


def _job(options: argparse.Namespace) -> Job:
    wrap = wrap_of(options, options.turns) if options.turns else None
    speed_m_s = options.speed_km_h / KM_H_PER_M_S
    return job_of(options, wrap, options.dm_kg_m3, speed_m_s)


def _spread(given: list[str]) -> dict[str, Interval]:
    found = {}
    for word in given:
        name, _, ends = word.partition("=")
        try:
            low, high = (float(end) for end in ends.split(".."))
        except ValueError as error:
            cure = "Write prices.fuel_money_l=0.9..1.6, say."
            raise BadInput(Fault("--uncertain", "NAME=LOW..HIGH", repr(word), cure)) from error
        found[name] = Interval(low, (low + high) / 2.0, high)
    return found
