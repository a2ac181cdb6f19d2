"""A bale that is already tipped: whether it must be wrapped again, and why."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from balewright.plan.cautions import ROLLING_BALE, WRAPPER_MOVES
from balewright.plan.film.from_here import Need, layers_missing
from balewright.plan.film.layers import LayerCount
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


def judge_tipped(count: LayerCount, need: Need) -> Tipped:
    """Whether a bale that lies on the ground must be wrapped again.

    count: counted for the need's layers and binding layers. Below four layers no source keeps
    silage safe, so it is wrapped again; between four and the need the sources disagree, so it is
    used first; slivers no wider than `need.allowed_sliver_m` (at least 10 mm) are no reason by
    themselves, but a spot without any film is a hole however narrow. Whether the film was harmed
    by tipping or by what it lies on is never known here, and said so.
    Source keys: `uk-baleage-q14`, `mceniry-2011`, `practice`.
    """
    narrow_m = max(need.allowed_sliver_m, NARROW_M)
    on_round = count.thinnest + need.binding_layers
    flat = min(one.thinnest for one in count.flats)
    thinnest = min(on_round, flat)
    widest_m = max(count.bound_sliver_m, *(one.sliver_m for one in count.flats))
    facts = {
        "thinnest": thinnest,
        "layers": need.layers,
        "least_layers": LEAST_LAYERS,
        "sliver_mm": widest_m / M_PER_MM,
        "narrow_mm": narrow_m / M_PER_MM,
    }
    missing = layers_missing(count, need)
    if thinnest >= need.layers:
        verdict, why = Verdict.LEAVE, because("tipped.enough", **facts)
    elif thinnest == 0:
        verdict, why = Verdict.REWRAP, because("tipped.bare", **facts)
    elif widest_m <= narrow_m:
        verdict, why = Verdict.LEAVE, because("tipped.only_slivers", **facts)
    elif thinnest < LEAST_LAYERS:
        verdict, why = Verdict.REWRAP, because("tipped.below_four", **facts)
    else:
        verdict, why = Verdict.USE_FIRST, because("tipped.below_need", **facts)
    reasons = [why]
    if verdict is not Verdict.LEAVE:
        reasons.append(because("tipped.whole_layers", more_layers=missing))
    reasons += [because("tipped.may_be_damaged"), because("tipped.not_known")]
    cautions = [because(ROLLING_BALE)]
    if verdict is Verdict.REWRAP:
        cautions.append(because(WRAPPER_MOVES))
    if verdict is not Verdict.LEAVE:
        cautions.append(because("tipped.feed"))
    more_layers = 0 if verdict is Verdict.LEAVE else missing
    return Tipped(verdict, tuple(reasons), tuple(cautions), more_layers)
