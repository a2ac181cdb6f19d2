"""What time, travel, parts and standing cost; what is not known is assumed, and said."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Final

from balewright.cause.network import Hands
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason, because

DAY_H: Final = 10.0
"""Hours of a day in which a standing machine would have worked; assumed."""
TRIP_H: Final = 1.5
"""A technician's way there and back, where nobody said; assumed."""
BETWEEN_H: Final = 0.025
"""To be told of a check, walk there and tell what was seen, beside the check itself; assumed."""
HELP_H: Final = 4.0
"""Work of whoever is called when nothing helps, beside a further way and a day; assumed."""
MISSING_FRAC: Final = 0.5
"""Chance that a part is not at hand where nobody knows what is on the van; assumed."""


@dataclass(frozen=True)
class Costs:
    """What a trouble costs, in the house's currency. Whatever is None is not known.

    hour_money, operator_hour_money, workshop_hour_money: an hour of a technician, of whoever
    drives, of the workshop; travel_h: the technician's way there and back; travel_money: the same
    way beside the time (kilometres, tolls); haul_h, haul_money: likewise of the machine to the
    workshop and back; parts_to_hand: keys of parts on the van or quickly there; part_days: until
    another one is; standing_money_h: what an hour costs in which the machine could work and
    stands, 0 while it bales on; standing_bales, bale_money, rain_in_h: bales lying open (or still
    to be made), what one loses in the rain, and in how many hours it rains; swap_money, swap_h:
    another machine instead, and how long until it works; there: who is with the machine now.

    Raises BadInput for amounts that are negative or no numbers.
    """

    hour_money: float | None = None
    operator_hour_money: float | None = None
    workshop_hour_money: float | None = None
    travel_h: float | None = None
    travel_money: float | None = None
    haul_h: float | None = None
    haul_money: float | None = None
    parts_to_hand: frozenset[str] | None = None
    part_days: float | None = None
    standing_money_h: float | None = None
    standing_bales: float | None = None
    bale_money: float | None = None
    rain_in_h: float | None = None
    swap_money: float | None = None
    swap_h: float | None = None
    there: Hands = Hands.OPERATOR

    def __post_init__(self) -> None:
        faults = []
        for one in fields(self):
            given = getattr(self, one.name)
            if isinstance(given, int | float) and not (math.isfinite(given) and given >= 0.0):
                cure = "Give what it costs, or leave it out where nobody knows."
                faults.append(Fault(f"costs, {one.name}", "0 or above", str(given), cure))
        if faults:
            raise BadInput(*faults)


@dataclass(frozen=True)
class Prices:
    """The same with every gap filled.

    hour_money: by who works; standing_money_h: an hour of waiting, rain in it; trip_money,
    haul_money: sending somebody, bringing the machine in, each with its waiting;
    missing_money: a part that is not there: a further way and the days; missing_frac: chance of
    that where nobody knows what is at hand; swap_money: None where no machine can be had;
    help_money: somebody who knows more comes and finds it; in_money: whether these are house
    money (else hours of a technician); assumed: what was filled in.
    """

    hour_money: tuple[tuple[Hands, float], ...]
    standing_money_h: float
    trip_money: float
    haul_money: float
    missing_money: float
    missing_frac: float
    parts_to_hand: frozenset[str] | None
    swap_money: float | None
    help_money: float
    in_money: bool
    there: Hands
    assumed: tuple[Reason, ...]


def prices_of(costs: Costs) -> Prices:
    """Fill in what is not known, and say so.

    Rain is taken as a loss that grows evenly until it comes: bales in the open times what one
    loses, over the hours until then. Without the price of an hour everything is in hours of a
    technician, and money of parts is left out. Every default is a guess of ours; a house that
    gives its own figures replaces it.
    """
    gaps = _Gaps(costs)
    in_money = costs.hour_money is not None
    hour = gaps.take("hour_money", 1.0)
    driver = gaps.take("operator_hour_money", hour / 2.0)
    workshop = gaps.take("workshop_hour_money", hour)
    standing = gaps.take("standing_money_h", hour) + _rain(costs, gaps)
    travel_h = gaps.take("travel_h", TRIP_H)
    trip = travel_h * (hour + standing) + gaps.take("travel_money", 0.0)
    haul_h = gaps.take("haul_h", 2.0 * travel_h)
    haul = haul_h * (hour + standing) + gaps.take("haul_money", trip)
    days = gaps.take("part_days", 1.0)
    if costs.parts_to_hand is None:
        gaps.say("parts_to_hand")
    swap = costs.swap_money
    if swap is not None:
        swap += gaps.take("swap_h", travel_h) * standing
    help_money = trip + HELP_H * hour + DAY_H * standing
    return Prices(
        hour_money=(
            (Hands.OPERATOR, driver), (Hands.TECHNICIAN, hour), (Hands.WORKSHOP, workshop)
        ),
        standing_money_h=standing,
        trip_money=trip,
        haul_money=haul,
        missing_money=trip + days * DAY_H * standing,
        missing_frac=MISSING_FRAC,
        parts_to_hand=costs.parts_to_hand,
        swap_money=swap,
        help_money=help_money,
        in_money=in_money,
        there=costs.there,
        assumed=tuple(gaps.said),
    )  # fmt: skip


class _Gaps:
    """Fills gaps and keeps a list of them."""

    def __init__(self, costs: Costs) -> None:
        self.costs, self.said = costs, list[Reason]()

    def take(self, name: str, value: float) -> float:
        """The amount of that name, or `value`, which is then assumed."""
        given: float | None = getattr(self.costs, name)
        if given is not None:
            return given
        self.say(name)
        return value

    def say(self, name: str) -> None:
        """Note that it was not known."""
        self.said.append(because(f"cause.assumed.{name}"))


def _rain(costs: Costs, gaps: _Gaps) -> float:
    """What an hour costs because rain comes nearer."""
    if costs.rain_in_h is None or not costs.standing_bales:
        return 0.0
    loss = gaps.take("bale_money", 0.0) * costs.standing_bales
    return loss / max(costs.rain_in_h, 1.0)
