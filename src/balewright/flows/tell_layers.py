"""What film a machine would lay, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.flows.outlook import Outlook, Told
from balewright.plan.film.cliff import REACH_M, find_cliff
from balewright.plan.film.layers import LayerCount
from balewright.plan.film.strip import NECK_IN_SPREAD, strip_width_m
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import M_PER_MM


@dataclass(frozen=True)
class LayersTold:
    """count: layers on every spot, None where no film is laid; told: the words to it."""

    count: LayerCount | None
    told: Told


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
    sureness = (_fatter(outlook), _narrower(outlook))
    return LayersTold(count, Told(answer, sureness, ("geometry", "ifj-thickness")))


def _why_none(outlook: Outlook) -> Reason:
    if outlook.machine.wrapper is None:
        return because("outlook.layers.no_wrapper")
    if not outlook.asked.conditions.crop.is_wrapped:
        return because("outlook.layers.dry", crop=str(outlook.asked.conditions.crop))
    return because("outlook.layers.no_film")


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
    return because("outlook.layers.cliff", short_frac=cliff.short_frac, **values)


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
