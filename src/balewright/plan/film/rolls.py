"""What a bale costs in film: metres, grams and money, a bale and a tonne of dry matter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from balewright.plan.film.strip import FILM_KG_M3, Bale, Film, film_path_m
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import KG_PER_T

_G_PER_KG = 1000.0


@dataclass(frozen=True)
class RollBought:
    """A roll as it is bought and used.

    film: as its label says; rest_m: last metres that stay on the core, 0 or more; price_money: of
    one roll in your own currency, None where unknown.
    """

    film: Film
    rest_m: float = 0.0
    price_money: float | None = None

    def __post_init__(self) -> None:
        require_between("rest_m", self.rest_m, 0.0, 0.9 * self.film.roll_m)
        if self.price_money is not None:
            require_between("price_money", self.price_money, 0.0, 1e9)

    @property
    def usable_m(self) -> float:
        """Metres that can be laid."""
        return self.film.roll_m - self.rest_m


@dataclass(frozen=True)
class FilmBill:
    """What a bale takes and costs.

    each_m: off each roll; film_m, film_g: of all rolls together; bales_per_roll: what one roll is
    worth; bale_money: the share of the rolls, the rest on the core paid for too; film_kg_t,
    film_money_t: a tonne of dry matter. None where price or dry matter is unknown.
    """

    each_m: tuple[float, ...]
    film_m: float
    film_g: float
    bales_per_roll: float
    bale_money: float | None
    film_kg_t: float | None
    film_money_t: float | None


def metres_each_m(film: Film, bale: Bale, turns: Sequence[float]) -> tuple[float, ...]:
    """Metres off each roll for one bale. turns: wrap turns of each of one or two dispensers, 0 or
    more. Source key: `geometry`.
    """
    require_count("dispensers", len(turns), 1, 2)
    for one in turns:
        require_between("turns", one, 0.0, 20_000.0)
    path_m = film_path_m(bale)
    return tuple(one * path_m / (1.0 + film.pre_stretch_frac) for one in turns)


def film_bill(
    roll: RollBought, bale: Bale, turns: Sequence[float], dm_kg: float | None = None
) -> FilmBill:
    """Metres, grams and money of a bale. dm_kg: dry matter of the bale, 1 to 5000, None: unknown.

    Breaks and what they waste are not in it (`rolls_to_load`). Source keys: `geometry`, `label`.
    """
    each_m = metres_each_m(roll.film, bale, turns)
    film_m = sum(each_m)
    if film_m <= 0.0:
        raise BadInput(
            Fault("turns", "a dispenser that made a turn", repr(tuple(turns)), "Give wrap turns.")
        )
    if dm_kg is not None:
        require_between("dm_kg", dm_kg, 1.0, 5000.0)
    film_kg = film_m * roll.film.width_m * roll.film.thickness_m * FILM_KG_M3
    bale_money = None if roll.price_money is None else roll.price_money * film_m / roll.usable_m
    dm_t = None if dm_kg is None else dm_kg / KG_PER_T
    return FilmBill(
        each_m=each_m,
        film_m=film_m,
        film_g=film_kg * _G_PER_KG,
        bales_per_roll=roll.usable_m / film_m,
        bale_money=bale_money,
        film_kg_t=None if dm_t is None else film_kg / dm_t,
        film_money_t=None if dm_t is None or bale_money is None else bale_money / dm_t,
    )


def binding_metres_m(bale: Bale, turns: float, stretch_frac: float = 0.0) -> float:
    """Metres of net or film off its roll that bind one bale.

    turns: round the bale, 0.5 to 40; stretch_frac: how far it is stretched, 0 to 2. A binding roll
    is one dispenser: `roll_ends` and `rolls_to_load` take these metres as they take film's.
    Source key: `geometry`.
    """
    require_between("turns", turns, 0.5, 40.0)
    require_between("stretch_frac", stretch_frac, 0.0, 2.0)
    return turns * math.pi * bale.diameter_m / (1.0 + stretch_frac)
