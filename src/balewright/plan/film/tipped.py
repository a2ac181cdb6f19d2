"""A bale that is already tipped: whether it must be wrapped again, and why."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from balewright.plan.cautions import ROLLING_BALE, WRAPPER_MOVES
from balewright.plan.film.flats import count_flat
from balewright.plan.film.from_here import Need, layers_missing
from balewright.plan.film.layers import Bale, LayerCount
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import M_PER_MM

#: No source goes below four layers of stretched film: `uk-baleage-q14`, `mceniry-2011`.
LEAST_LAYERS: Final = 4
#: Stretches up to this wide are no alarm by themselves: `common practice, no source`.
NARROW_M: Final = 0.010


class Verdict(StrEnum):
    """What to do with a tipped bale."""

    REWRAP = "wrap again"
    USE_FIRST = "use first"
    LEAVE = "leave"


@dataclass(frozen=True)
class Tipped:
    """The verdict on a tipped bale.

    reasons: why, strongest first, then what is not known; cautions: what comes before anybody
    handles the bale; more_layers: whole layers to put on where it is wrapped again, wherever they
    start; 0 where none are missing.
    """

    verdict: Verdict
    reasons: tuple[Reason, ...]
    cautions: tuple[Reason, ...]
    more_layers: int


@dataclass(frozen=True)
class ThinSpots:
    """How thin a bale's film is.

    thinnest: fewest layers anywhere, binding film with them where it lies; short_m, thin_m: the
    widest connected stretch with fewer layers than needed, and with fewer than `LEAST_LAYERS`;
    missing: whole layers that are short of the need (of `LEAST_LAYERS` where that is more).
    """

    thinnest: int
    short_m: float
    thin_m: float
    missing: int


def judge_tipped(bale: Bale, count: LayerCount, need: Need) -> Tipped:
    """Whether a bale that lies on the ground must be wrapped again.

    count: counted for the need's layers and binding layers. Below four layers no source keeps
    silage safe, so it is wrapped again; between four and the need the sources disagree, so it is
    used first; slivers no wider than `need.allowed_sliver_m` (at least 10 mm) are no reason by
    themselves, but a spot without any film is a hole however narrow. Whether the film was harmed
    by tipping or by what it lies on is never known here, and said so.
    Source keys: `uk-baleage-q14`, `mceniry-2011`, `keles-2009`, `practice`.
    """
    flat = min(one.thinnest for one in count.flats)
    spots = ThinSpots(
        thinnest=min(count.thinnest + need.binding_layers, flat),
        short_m=_widest_short_m(bale, count, need, need.layers),
        thin_m=_widest_short_m(bale, count, need, LEAST_LAYERS),
        missing=layers_missing(count, replace(need, layers=max(need.layers, LEAST_LAYERS))),
    )
    return judge_spots(spots, need)


def judge_spots(spots: ThinSpots, need: Need) -> Tipped:
    """The same from what is known of the thin spots, however they were counted.

    need: its layers, and the sliver that may stay. Sources as `judge_tipped`.
    """
    narrow_m = max(need.allowed_sliver_m, NARROW_M)
    thinnest, short_m, thin_m = spots.thinnest, spots.short_m, spots.thin_m
    facts = {
        "thinnest": thinnest,
        "layers": need.layers,
        "least_layers": LEAST_LAYERS,
        "sliver_mm": short_m / M_PER_MM,
        "thin_mm": thin_m / M_PER_MM,
        "narrow_mm": narrow_m / M_PER_MM,
    }
    enough = thinnest >= need.layers
    if thinnest == 0:
        verdict, why = Verdict.REWRAP, "tipped.bare"
    elif thin_m > narrow_m:
        verdict = Verdict.USE_FIRST if enough else Verdict.REWRAP
        why = "tipped.wanted_too_few" if enough else "tipped.below_four"
    elif enough:
        verdict, why = Verdict.LEAVE, "tipped.enough"
    elif short_m > narrow_m:
        verdict, why = Verdict.USE_FIRST, "tipped.below_need"
    else:
        verdict, why = Verdict.LEAVE, "tipped.only_slivers"
    reasons, cautions, missing = [because(why, **facts)], [because(ROLLING_BALE)], 0
    if verdict is not Verdict.LEAVE:
        missing = spots.missing
        reasons.append(because("tipped.whole_layers", more_layers=missing))
    if verdict is Verdict.REWRAP:
        cautions.append(because(WRAPPER_MOVES))
    if verdict is not Verdict.LEAVE:
        cautions.append(because("tipped.feed"))
    reasons += [because("tipped.may_be_damaged"), because("tipped.not_known")]
    return Tipped(verdict, tuple(reasons), tuple(cautions), missing)


def _widest_short_m(bale: Bale, count: LayerCount, need: Need, layers: int) -> float:
    """The widest connected stretch of any side with fewer than `layers`; 0 where there is none."""
    girth_m = math.pi * bale.diameter_m
    on_round = (length for _, length in count.arcs.slivers(layers - need.binding_layers))
    flats = (
        count_flat(flat.directions, bale.diameter_m, flat.strip_m, layers).sliver_m
        for flat in count.flats
    )
    return max(girth_m * max(on_round, default=0.0), *flats)
