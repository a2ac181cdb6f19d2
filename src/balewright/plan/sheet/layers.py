"""How many layers a job wants: by dry matter, months, crop and climate. Sources disagree."""

from __future__ import annotations

import math
from typing import Final

from balewright.plan.crop import Crop
from balewright.plan.keeping.advice import advised_layers
from balewright.plan.keeping.climate import COOL_MOIST, WARM_DRY
from balewright.plan.machine import Span
from balewright.plan.sheet.setting import Job, Wanted, Why, settle
from balewright.plan.sheet.sheet import Conditions, SheetLine
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import M_PER_UM

FEWEST_LAYERS: Final = 4
MOST_LAYERS: Final = 8
_DRY_FRAC: Final = 0.60
_WARM_DRY_FRAC: Final = 0.50
_HALF_DRY_FRAC: Final = 0.45
_COOL_DRY_FRAC: Final = 0.50
_LONG_MONTHS: Final = 12.0
_SHORT_MONTHS: Final = 9.0
NOMINAL_FILM_M: Final = 25e-6
"""Film for which layers are advised: usually 1 mil (Kentucky, `uk-baleage-q14`)."""
_ADVICE_MONTHS: Final = 48.0
_SAME_M: Final = 1e-9
_SAME_FRAC: Final = 1e-6
"""What counts as the same thickness, and as whole layers, beside rounding."""


def layers_wanted(conditions: Conditions) -> int:
    """Six layers; eight for a dry, stemmy or long-kept crop; four only where it is cool and moist.

    Eight above 60 % dry matter (50 % where it is warm and dry), for lucerne above 45 %, and above
    45 % kept over 12 months. Four in a cool moist climate up to 50 % dry matter and under nine
    months, not for lucerne. Never below four; never rises with moisture, never falls with months.
    """
    dry_frac = 1.0 - conditions.moisture_frac
    half_dry = dry_frac > _HALF_DRY_FRAC
    stemmy = conditions.crop is Crop.LUCERNE
    long_kept = conditions.storage_months > _LONG_MONTHS
    dry_from = _WARM_DRY_FRAC if conditions.climate == WARM_DRY.name else _DRY_FRAC
    if dry_frac > dry_from or (half_dry and (stemmy or long_kept)):
        return MOST_LAYERS
    cool = conditions.climate == COOL_MOIST.name
    short = conditions.storage_months < _SHORT_MONTHS
    return FEWEST_LAYERS if cool and short and not stemmy and dry_frac <= _COOL_DRY_FRAC else 6


def thin_film(conditions: Conditions) -> Reason | None:
    """What nobody knows about film thinner than NOMINAL_FILM_M; None for any other.

    No source tells how many layers of thinner film keep as well, so the count stays as it is and
    the sheet says how many are as much film, taken off the roll, as the wanted ones of nominal.
    """
    film, need = conditions.film, layers_wanted(conditions)
    if film is None or film.thickness_m > NOMINAL_FILM_M - _SAME_M:
        return None
    as_much = math.ceil(need * NOMINAL_FILM_M / film.thickness_m - _SAME_FRAC)
    return because(
        "sheet.unknown.thin_film",
        layers=need,
        thickness_um=round(film.thickness_m / M_PER_UM, 3),
        all_um=round(need * film.thickness_m / M_PER_UM, 3),
        as_much=as_much,
    )


def layers_line(job: Job) -> SheetLine:
    """The line of the layers, with how many sources are content with so few."""
    conditions, need = job.conditions, layers_wanted(job.conditions)
    film_m = NOMINAL_FILM_M if conditions.film is None else conditions.film.thickness_m
    advice = advised_layers(min(conditions.storage_months, _ADVICE_MONTHS), film_m)
    key, source = {
        4: ("sheet.layers.four", "uk-baleage-q14"),
        6: ("sheet.layers.six_of", "en-14932"),
        8: ("sheet.layers.eight", "penn-state-baleage"),
    }[need]
    reason = because(
        key,
        dry_frac=1.0 - conditions.moisture_frac,
        storage_months=conditions.storage_months,
        content=sum(one.least_layers <= need for one in advice),
        sources=len(advice),
    )
    wanted = Wanted("layers", need, Span(FEWEST_LAYERS, MOST_LAYERS))
    return settle(job.machine, wanted, Why(reason, source))
