"""What film a machine would lay, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from balewright.flows.outlook import Outlook, Told
from balewright.flows.vary_bales import ADVANCE_FRAC, DIAMETER_M, vary_bales
from balewright.plan.film.cliff import REACH_M, find_cliff
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.layers import LayerCount
from balewright.plan.film.strip import NECK_IN_SPREAD, strip_width_m
from balewright.plan.film.tolerance import chance_of
from balewright.plan.film.varying import Draws, Varying
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import M_PER_MM

_SLIVER_MM: Final = 20.0
"""A short stretch no wider is no alarm (common practice, no source)."""
_MOST_FRAC: Final = 0.99
_LEAST_FRAC: Final = 0.01
"""Beyond these a chance is called more, or less, than that: never 100 % and never none."""


@dataclass(frozen=True)
class LayersTold:
    """count: layers on every spot, None where no film is laid; told: the words to it;
    chance_frac: share of bales that get the layers wanted all round, as bales differ.
    """

    count: LayerCount | None
    told: Told
    chance_frac: float | None = None


def tell_layers(outlook: Outlook) -> LayersTold:
    """Layers everywhere on the bale that is looked at, and what a fatter bale or a narrower
    strip makes of them.
    """
    if outlook.wrap_turns is None or outlook.need_layers is None:
        return LayersTold(None, Told(_why_none(outlook)))
    count, need = outlook.count(), outlook.need_layers
    values = {
        "turns": outlook.wrap_turns,
        "layers": need,
        "thinnest": count.thinnest_anywhere,
        "diameter_m": outlook.bale.diameter_m,
    }
    if count.short_frac > 0.0:
        answer = because("outlook.layers.short", short_frac=count.short_frac, **values)
    elif count.thinnest_anywhere < need:
        answer = because("outlook.layers.rim", **values)
    else:
        answer = because("outlook.layers.enough", **values)
    assert outlook.machine.wrapper is not None
    chance_frac = _chance_frac(
        vary_bales(outlook), outlook.wrap_turns, outlook.machine.wrapper.dispensers, need
    )
    sureness = (_chance(outlook, need, chance_frac), _fatter(outlook), _narrower(outlook))
    told = Told(answer, sureness, ("geometry", "ifj-thickness", "assumed"))
    return LayersTold(count, told, chance_frac)


def _why_none(outlook: Outlook) -> Reason:
    if outlook.machine.wrapper is None:
        return because("outlook.layers.no_wrapper")
    if not outlook.asked.conditions.crop.is_wrapped:
        return because("outlook.layers.dry", crop=str(outlook.asked.conditions.crop))
    return because("outlook.layers.no_film")


def _chance(outlook: Outlook, need: int, chance_frac: float) -> Reason:
    """How many bales get their layers, as bales differ from one another."""
    recorded = outlook.asked.recorded
    share, key = min(max(chance_frac, _LEAST_FRAC), _MOST_FRAC), "outlook.layers.chance"
    if chance_frac != share:
        key += ".most" if chance_frac > share else ".least"
    values = {"chance_frac": share, "layers": need, "sliver_mm": _SLIVER_MM}
    if recorded is None:
        vary_mm = DIAMETER_M / M_PER_MM
        return because(key, vary_mm=vary_mm, vary_frac=ADVANCE_FRAC, **values)
    vary_mm = recorded.deviation.best / M_PER_MM
    seen = {"vary_mm": vary_mm, "vary_frac": ADVANCE_FRAC, "readings": recorded.readings}
    return because(f"{key}.seen", **seen, **values)


@lru_cache(maxsize=64)
def _chance_frac(varying: Varying, turns: float, dispensers: int, need: int) -> float:
    leg = Leg(turns, (True,) * dispensers, varying.best_bale_turn)
    goal = Goal(need, allowed_sliver_m=_SLIVER_MM * M_PER_MM)
    return chance_of(varying, Course((leg,)), goal, Draws(log2=8, scramblings=4)).chance_frac


def _fatter(outlook: Outlook) -> Reason:
    assert outlook.wrap_turns is not None
    assert outlook.strip_m is not None
    assert outlook.machine.wrapper is not None
    turns = (outlook.wrap_turns,) * outlook.machine.wrapper.dispensers
    wrapping = outlook.planned.wrapping(outlook.bale.diameter_m, outlook.strip_m, turns)
    cliff = find_cliff(outlook.bale, wrapping)
    if cliff is None:
        return because("outlook.layers.far", diameter_m=outlook.bale.diameter_m + REACH_M)
    if cliff.diameter_m <= outlook.bale.diameter_m:
        return because("outlook.layers.over")
    values = {"diameter_m": cliff.diameter_m, "thinnest": cliff.thinnest}
    return because(
        "outlook.layers.cliff",
        short_frac=cliff.short_frac,
        sliver_mm=cliff.sliver_m / M_PER_MM,
        **values,
    )


def _narrower(outlook: Outlook) -> Reason:
    film, stretch = outlook.asked.conditions.film, outlook.planned.pre_stretch_frac
    assert film is not None
    assert stretch is not None
    narrow, wide = (
        strip_width_m(film.width_m, stretch, exponent)
        for exponent in (NECK_IN_SPREAD.high, NECK_IN_SPREAD.low)
    )
    low, high = (outlook.count(strip_m=strip).thinnest_anywhere for strip in (narrow, wide))
    widths = {"low_mm": narrow / M_PER_MM, "high_mm": wide / M_PER_MM}
    if low == high:
        return because("outlook.layers.strip_same", thinnest=low, **widths)
    return because("outlook.layers.strip", thinnest_low=low, thinnest_high=high, **widths)
