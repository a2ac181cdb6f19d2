"""The film from the roll to the strip on the bale: stretch, neck-in, metres, grams, rolls.

Film that is stretched along its length gets narrower (neck-in) and thinner. How much narrower is
the least certain number here: between none at all and the free pull of a rubber band. It is
written as an exponent a: width ratio = (1 + stretch)^-a.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval

#: Neck-in exponent used where nobody measured one. `common practice, no source`: film of 0.75 m
#: lies about 0.60 m wide at 70 % stretch. It is the narrow side of what is known, so layers
#: counted with it are not flattered.
DEFAULT_NECK_IN: Final = 0.437
#: What the sources leave open. 0.33 follows from the press-reported 70 um for four layers of
#: 25 um film at 70 % (source key `ifj-thickness`); practice runs from 0.42 to 0.45.
NECK_IN_SPREAD: Final = Interval(low=0.33, best=DEFAULT_NECK_IN, high=0.45)
#: A sheet of constant volume pulled freely at its sides narrows by this exponent and no more.
FREE_NECK_IN: Final = 0.5

#: Density of stretch film (linear low-density polyethylene, 915 to 930): `assumed`.
FILM_KG_M3: Final = 925.0
_G_PER_KG: Final = 1000.0


@dataclass(frozen=True)
class Bale:
    """A bale as a cylinder.

    diameter_m: 0.3 to 3; length_m: along the axis, the width of the chamber, 0.3 to 3.
    """

    diameter_m: float
    length_m: float

    def __post_init__(self) -> None:
        require_between("diameter_m", self.diameter_m, 0.3, 3.0)
        require_between("length_m", self.length_m, 0.3, 3.0)


@dataclass(frozen=True)
class Film:
    """A roll as its label says, and how the machine stretches it.

    width_m: of the roll, 0.05 to 1.5 (EN 14932 covers 0.25 to 1.0); thickness_m: before the
    stretch, 5e-6 to 100e-6; roll_m: metres on a new roll; pre_stretch_frac: 0.70 means that 1 m
    off the roll becomes 1.70 m; neck_in_exponent: 0 (keeps its width) to 0.5 (narrows freely).
    """

    width_m: float
    thickness_m: float
    roll_m: float
    pre_stretch_frac: float
    neck_in_exponent: float = DEFAULT_NECK_IN

    def __post_init__(self) -> None:
        require_between("width_m", self.width_m, 0.05, 1.5)
        require_between("thickness_m", self.thickness_m, 5e-6, 100e-6)
        require_between("roll_m", self.roll_m, 1.0, 20_000.0)
        require_between("pre_stretch_frac", self.pre_stretch_frac, 0.0, 2.0)
        require_between("neck_in_exponent", self.neck_in_exponent, 0.0, FREE_NECK_IN)


@dataclass(frozen=True)
class LaidStrip:
    """One layer of film as it lies on the bale."""

    width_m: float
    thickness_m: float


@dataclass(frozen=True)
class FilmUse:
    """What one bale takes off the rolls.

    m_bale: off all rolls together; m_dispenser: off each roll; g_bale: mass; bales_per_roll: how
    many bales one roll is worth; bales_per_set: how many bales until the rolls, one to a
    dispenser and put on together, are out (a set of two lasts twice as long as one roll's worth).
    """

    m_bale: float
    m_dispenser: float
    g_bale: float
    bales_per_roll: float
    bales_per_set: float


def strip_width_m(film_width_m: float, pre_stretch_frac: float, neck_in_exponent: float) -> float:
    """Width on the bale of film that was `film_width_m` wide on the roll.

    pre_stretch_frac: 0 to 2; neck_in_exponent: 0 to 0.5. Valid where the film is stretched
    between rollers and not again by a bale with flat spots. Source key: `geometry`.
    """
    return float(film_width_m * (1.0 + pre_stretch_frac) ** -neck_in_exponent)


def lay_strip(film: Film) -> LaidStrip:
    """Width and thickness of one layer on the bale; the film's volume stays what it was."""
    width_m = strip_width_m(film.width_m, film.pre_stretch_frac, film.neck_in_exponent)
    narrowing = film.width_m / width_m
    return LaidStrip(width_m, film.thickness_m * narrowing / (1.0 + film.pre_stretch_frac))


def film_path_m(bale: Bale) -> float:
    """Way of the film once round the bale: over two flat sides and along the round side twice."""
    return 2.0 * (bale.diameter_m + bale.length_m)


def roll_metres_m(bale: Bale, all_turns: float, pre_stretch_frac: float) -> float:
    """Metres off the rolls for one bale.

    all_turns: wrap turns of all dispensers together, 0 or more; pre_stretch_frac: 0 to 2. Raises
    BadInput outside. Source key: `geometry`.
    """
    require_between("all_turns", all_turns, 0.0, 40_000.0)
    require_between("pre_stretch_frac", pre_stretch_frac, 0.0, 2.0)
    return all_turns * film_path_m(bale) / (1.0 + pre_stretch_frac)


def film_use(film: Film, bale: Bale, turns: float, dispensers: int) -> FilmUse:
    """Metres, grams and bales to a roll.

    turns: wrap turns of every dispenser, above 0 (for a bale on which one roll ran out give the
    mean over the dispensers); dispensers: 1 or 2. Neck-in changes none of these.
    Raises BadInput outside the ranges. Source key: `geometry`.
    """
    require_between("turns", turns, 0.5, 20_000.0)
    require_between("dispensers", dispensers, 1, 2)
    m_dispenser = roll_metres_m(bale, turns, film.pre_stretch_frac)
    m_bale = m_dispenser * dispensers
    kg_per_m = film.width_m * film.thickness_m * FILM_KG_M3
    return FilmUse(
        m_bale=m_bale,
        m_dispenser=m_dispenser,
        g_bale=m_bale * kg_per_m * _G_PER_KG,
        bales_per_roll=film.roll_m / m_bale,
        bales_per_set=film.roll_m / m_dispenser,
    )
