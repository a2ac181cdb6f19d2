"""The options of `balewright cost`: what may stand there, and the question they make."""

from __future__ import annotations

import argparse
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from balewright.cli.ranges import Number, add_numbers, check_numbers
from balewright.cli.work_options import (
    MOST_MONEY,
    WORK_NUMBERS,
    add_work_options,
    check_prices,
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

_MADE: Final = {
    "--dm-kg-m3": Number(40, 400, "dry matter in a cubic metre of bale, kg", required=True),
    "--speed-km-h": Number(0.5, 20, "forward speed, km/h", required=True),
    "--turns": Number(0, 200, "wrap turns of each roll, 0 where bales are not wrapped", 0),
    "--hired-money": Number(0, MOST_MONEY, "what a hired bale costs, to compare"),
}
_NUMBERS: Final = {**WORK_NUMBERS, **_MADE}


@dataclass(frozen=True)
class Asked:
    """The question, checked."""

    job: Job
    outlay: Outlay
    hired: Hired | None
    spread: dict[str, Interval]


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_work_options(parser)
    made = parser.add_argument_group("how it is worked, and what to compare and doubt")
    add_numbers(made, _MADE)
    made.add_argument(
        "--hired-without-film", action="store_true", help="the hired rate has no film in it"
    )
    made.add_argument(
        "--uncertain",
        action="append",
        default=[],
        metavar="NAME=LOW..HIGH",
        help="such as prices.fuel_money_l=0.9..1.6 or made.bales_h=20..30; may be given again",
    )
    add = parser.add_argument_group("answer").add_argument
    add("--svg", type=Path, metavar="FILE", help="draw it into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")


def ask(options: argparse.Namespace) -> Asked:
    """The question of these options. Raises BadInput with every number out of range at once."""
    check_numbers(options, _NUMBERS)
    check_prices(options, wrapped=bool(options.turns))
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
        except ValueError:
            low, high = 1.0, 0.0
        if not (math.isfinite(low) and math.isfinite(high) and low <= high):
            cure = "Write prices.fuel_money_l=0.9..1.6, say, the lower first."
            raise BadInput(Fault("--uncertain", "NAME=LOW..HIGH", repr(word), cure))
        found[name] = Interval(low, (low + high) / 2.0, high)
    return found
